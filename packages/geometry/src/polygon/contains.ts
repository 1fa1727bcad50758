import type { Point } from "../units.ts";
import type { Region, Ring } from "./ring.ts";
import { turn } from "./turn.ts";

/** Where a point lies against a ring (even-odd rule where the ring crosses itself), decided exactly. */
export function placeInRing(ring: Ring, p: Point): "inside" | "outside" | "edge" {
  if (!Number.isFinite(p.x) || !Number.isFinite(p.y)) return "outside";
  let inside = false;
  for (let i = 0; i < ring.length; i++) {
    const a = ring[i]!;
    const b = ring[(i + 1) % ring.length]!;
    if (Math.min(a.y, b.y) > p.y || Math.max(a.y, b.y) < p.y) continue;
    const side = turn(a, b, p);
    if (side === 0 && p.x >= Math.min(a.x, b.x) && p.x <= Math.max(a.x, b.x)) return "edge";
    // Half-open in y: an end that lies level with p belongs to the edge below it only.
    if (a.y <= p.y !== b.y <= p.y && side > 0 === b.y > a.y) inside = !inside;
  }
  return inside ? "inside" : "outside";
}

/** Whether a region holds a point. All edges, those of holes too, belong to the region. Exact. */
export function contains(region: Region, p: Point): boolean {
  const place = placeInRing(region.outline, p);
  if (place !== "inside") return place === "edge";
  return region.holes.every((hole) => placeInRing(hole, p) !== "inside");
}
