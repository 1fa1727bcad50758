/**
 * Which tiles could hold ticks at all: the gradient of a row of bars has one direction. Blocks of 8 px (the length
 * of the shortest ticks that can be read) whose structure tensor is coherent are counted by direction; flat ground and
 * isotropic texture are skipped before the costly spectrum.
 */
const BLOCK = 8;
/** White noise over 64 px reaches a coherence of about 0.15 and seldom twice that. */
const COHERENT = 0.45;
/** Blocks in a tile of 64 px that must agree: a row of ticks crosses it in eight, half of them disturbed. */
const FEWEST = 5;
/** Coded units squared per pixel: ticks of a tenth of the clipping contrast in a quarter of the block. */
const LEAST_ENERGY = 0.0025;
const DIRECTIONS = 12;

export interface OrientedBlocks {
  /** True when enough blocks of the tile of `side` px at x0, y0 agree on a direction within 15 degrees. */
  promising(x0: number, y0: number, side: number): boolean;
}

export function orientedBlocks(coded: Float32Array, width: number, height: number): OrientedBlocks {
  const columns = Math.floor(width / BLOCK);
  const rows = Math.floor(height / BLOCK);
  const direction = new Int8Array(columns * rows).fill(-1);
  const xx = new Float64Array(columns);
  const yy = new Float64Array(columns);
  const xy = new Float64Array(columns);
  for (let r = 0; r < rows; r++) {
    xx.fill(0);
    yy.fill(0);
    xy.fill(0);
    for (let y = Math.max(1, r * BLOCK); y < Math.min(height - 1, (r + 1) * BLOCK); y++) {
      for (let c = 0; c < columns; c++) {
        let a = 0;
        let b = 0;
        let ab = 0;
        const from = y * width + Math.max(1, c * BLOCK);
        const to = y * width + Math.min(width - 1, (c + 1) * BLOCK);
        for (let i = from; i < to; i++) {
          const gx = coded[i + 1]! - coded[i - 1]!;
          const gy = coded[i + width]! - coded[i - width]!;
          a += gx * gx;
          b += gy * gy;
          ab += gx * gy;
        }
        xx[c]! += a;
        yy[c]! += b;
        xy[c]! += ab;
      }
    }
    for (let c = 0; c < columns; c++) {
      const sum = xx[c]! + yy[c]!;
      const difference = xx[c]! - yy[c]!;
      const cross = 2 * xy[c]!;
      if (sum < LEAST_ENERGY * BLOCK * BLOCK || Math.hypot(difference, cross) < COHERENT * sum) continue;
      const turn = Math.atan2(cross, difference) / (2 * Math.PI) + 0.5; // half-angle: 0 to 1 covers 180 degrees
      direction[r * columns + c] = Math.floor(turn * DIRECTIONS) % DIRECTIONS;
    }
  }
  const counts = new Uint8Array(DIRECTIONS);
  return {
    promising(x0, y0, side) {
      counts.fill(0);
      const r1 = Math.min(rows, Math.floor((y0 + side) / BLOCK));
      const c1 = Math.min(columns, Math.floor((x0 + side) / BLOCK));
      for (let r = Math.floor(y0 / BLOCK); r < r1; r++) {
        for (let c = Math.floor(x0 / BLOCK); c < c1; c++) {
          const d = direction[r * columns + c]!;
          if (d >= 0) counts[d]!++;
        }
      }
      for (let d = 0; d < DIRECTIONS; d++) {
        if (counts[d]! + counts[(d + 1) % DIRECTIONS]! >= FEWEST) return true;
      }
      return false;
    },
  };
}
