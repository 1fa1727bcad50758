import { SamescaleError } from "@samescale/errors";
import type { Point } from "../units.ts";
import { convexHullOf } from "./hull.ts";
import type { Ring } from "./ring.ts";

export interface GreatestLength {
  readonly length: number;
  readonly ends: readonly [Point, Point];
}

export interface Extent {
  readonly width: number;
  readonly ends: readonly [Point, Point];
}

/**
 * Greatest distance between two points of an outline, and where: rotating calipers round the convex hull. Of
 * several equal pairs the first met. Without points the length is NaN.
 * @source Shamos1978 (antipodal pairs)
 */
export function greatestLengthOf(ring: Ring): GreatestLength {
  const hull = convexHullOf(ring);
  const first = hull[0] ?? { x: NaN, y: NaN };
  let best: GreatestLength = { length: 0, ends: [first, first] };
  const consider = (p: Point, q: Point): void => {
    const length = Math.hypot(p.x - q.x, p.y - q.y);
    if (length > best.length) best = { length, ends: [p, q] };
  };
  const n = hull.length;
  const at = (i: number): Point => hull[i % n]!;
  for (let i = 0, j = 1; i < n; i++) {
    // The far side advances while it still moves away from edge i. Where both edges are parallel, or rounding cannot
    // tell, the pairs on either side are looked at as well.
    let steps = 0;
    while (steps < n && movesAway(at(i), at(i + 1), at(j), at(j + 1))) {
      j += 1;
      steps += 1;
    }
    for (const p of [at(i), at(i + 1)]) {
      for (const q of [at(j), at(j + 1), at(j + n - 1)]) consider(p, q);
    }
  }
  return hull.length === 0 ? { ...best, length: Number.NaN } : best;
}

/** Whether going from c to d leads away from the line a b, for a hull that runs clockwise. */
const movesAway = (a: Point, b: Point, c: Point, d: Point): boolean =>
  (b.x - a.x) * (d.y - c.y) - (b.y - a.y) * (d.x - c.x) > 0;

/**
 * Extent of an outline at right angles to an axis, as a width is measured: the distance between the two lines
 * parallel to the axis that just hold the outline. `ends`: the outline's points on those lines (the first met).
 * @throws AXIS_WITHOUT_LENGTH when the axis' ends are one point or not numbers
 */
export function extentAtRightAngles(ring: Ring, [p, q]: readonly [Point, Point]): Extent {
  const length = Math.hypot(q.x - p.x, q.y - p.y);
  if (!(length > 0)) {
    throw new SamescaleError(
      "AXIS_WITHOUT_LENGTH",
      `An axis between two different points was expected, received (${p.x}, ${p.y}) twice`,
      "Give an outline whose points differ.",
    );
  }
  const across = (r: Point): number => ((q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x)) / length;
  let low = { place: Infinity, point: p };
  let high = { place: -Infinity, point: p };
  for (const point of ring) {
    const place = across(point);
    if (place < low.place) low = { place, point };
    if (place > high.place) high = { place, point };
  }
  return { width: Math.max(0, high.place - low.place), ends: [low.point, high.point] };
}
