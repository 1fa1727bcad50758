import type { Point } from "../units.ts";

/**
 * Angle round a limb, seen from its axis, at which something lies that is seen `acrossMm` beside the front line (the line
 * nearest to the camera), at that line's scale. NaN beyond the limb's visible edge. Derived at `arcOfChord`.
 */
export function angleRoundLimb(acrossMm: number, radiusMm: number, distanceMm = Infinity): number {
  if (distanceMm === Infinity) return Math.asin(acrossMm / radiusMm);
  const sine = (acrossMm * (distanceMm + radiusMm)) / (radiusMm * Math.hypot(distanceMm, acrossMm));
  return Math.asin(sine) - Math.atan(acrossMm / distanceMm);
}

export interface Limb {
  /** A point of the front line, and the unit vector along it. */
  readonly front: Point;
  readonly along: Point;
  readonly radiusMm: number;
  /** Camera (entrance pupil) to the front line; left out: far. */
  readonly distanceMm?: number;
}

/**
 * Points of a flat picture of a limb, in the plane that touches its front line, laid out as on the skin: the arc across
 * from the front line and the length along it. Null where one lies beyond the visible edge.
 */
export function unrollLimb(points: readonly Point[], limb: Limb): Point[] | null {
  const { front, along, radiusMm, distanceMm = Infinity } = limb;
  const out: Point[] = [];
  for (const p of points) {
    const [dx, dy] = [p.x - front.x, p.y - front.y];
    const across = dy * along.x - dx * along.y;
    const angle = angleRoundLimb(across, radiusMm, distanceMm);
    if (Number.isNaN(angle)) return null;
    // The sides lie further off and look smaller.
    const deeper = distanceMm === Infinity ? 1 : 1 + (radiusMm * (1 - Math.cos(angle))) / distanceMm;
    out.push({ x: (dx * along.x + dy * along.y) * deeper, y: radiusMm * angle });
  }
  return out;
}

/**
 * Radius of a limb whose visible edges lie `acrossMm` to both sides of its front line, in the plane that touches that
 * line: the sight line that grazes a circle of radius R at D + R from the camera passes that plane at
 * `h = D R / √(D² + 2 D R)`, solved for R.
 */
export function radiusFromEdges(acrossMm: number, distanceMm = Infinity): number {
  if (distanceMm === Infinity) return acrossMm;
  const ratio = acrossMm / distanceMm;
  return acrossMm * (ratio + Math.hypot(1, ratio));
}
