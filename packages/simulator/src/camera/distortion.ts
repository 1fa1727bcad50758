/**
 * Radial distortion r -> r(1 + k1 r²) about the principal point, r in half-diagonals of the frame, and its inverse
 * by a table (the per-pixel side must be fast).
 */
export interface Distortion {
  readonly k1: number;
  readonly halfDiagonalPx: number;
  /** Factor from undistorted to distorted offsets, given undistorted r² in px². */
  forward(r2Px: number): number;
  /** Factor from distorted to undistorted offsets, given distorted r² in px². */
  backward(r2Px: number): number;
}

const TABLE = 4096;
/** The table reaches past the corner, for blur margins and for an off-centre principal point. */
const REACH = 1.6;

export function distortionOf(k1: number, widthPx: number, heightPx: number): Distortion {
  const halfDiagonalPx = Math.hypot(widthPx, heightPx) / 2;
  const perR2 = 1 / (halfDiagonalPx * halfDiagonalPx);
  const forward = (r2Px: number): number => 1 + k1 * r2Px * perR2;
  if (k1 === 0) return { k1, halfDiagonalPx, forward: () => 1, backward: () => 1 };
  const table = new Float64Array(TABLE + 2);
  for (let i = 0; i < table.length; i++) {
    table[i] = undistortFactor(k1, Math.sqrt((i / TABLE) * REACH * REACH));
  }
  const toIndex = (TABLE / (REACH * REACH)) * perR2;
  return {
    k1,
    halfDiagonalPx,
    forward,
    backward(r2Px) {
      const at = Math.min(r2Px * toIndex, TABLE);
      const i = at | 0;
      return table[i]! + (table[i + 1]! - table[i]!) * (at - i);
    },
  };
}

/** Solves r(1 + k1 r²) = rd for r by Newton's method; returns r / rd. */
function undistortFactor(k1: number, rd: number): number {
  if (rd === 0) return 1;
  let r = rd;
  for (let i = 0; i < 30; i++) {
    const slope = 1 + 3 * k1 * r * r;
    if (slope < 0.1) break; // beyond the fold of strong barrel distortion nothing is defined
    r -= (r * (1 + k1 * r * r) - rd) / slope;
  }
  return r / rd;
}
