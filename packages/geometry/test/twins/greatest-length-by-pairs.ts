import type { Point, Ring } from "../../src/index.ts";

/** Greatest distance by looking at every pair of points. */
export function greatestLengthByPairs(ring: Ring): number {
  let greatest = 0;
  for (const p of ring) for (const q of ring) greatest = Math.max(greatest, Math.hypot(p.x - q.x, p.y - q.y));
  return greatest;
}

/** Extent across an axis: the ring is turned until the axis lies level, then its height is read off. */
export function extentByTurning(ring: Ring, [p, q]: readonly [Point, Point]): number {
  const angle = -Math.atan2(q.y - p.y, q.x - p.x);
  const heights = ring.map((r) => Math.sin(angle) * r.x + Math.cos(angle) * r.y);
  return Math.max(...heights) - Math.min(...heights);
}
