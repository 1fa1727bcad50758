import type { Point, Ring } from "../../src/index.ts";
import { exactTurn } from "./exact-integers.ts";

/** Where a point lies against a ring of whole numbers: first the edges, then how often a ray to the right is crossed. */
export function placeByExactRay(ring: Ring, p: Point): "inside" | "outside" | "edge" {
  let crossings = 0;
  for (const [i, a] of ring.entries()) {
    const b = ring[(i + 1) % ring.length]!;
    const isOnEdge =
      exactTurn(a, b, p) === 0n && (p.x - a.x) * (p.x - b.x) <= 0 && (p.y - a.y) * (p.y - b.y) <= 0;
    if (isOnEdge) return "edge";
    const [upper, lower] = a.y <= b.y ? [a, b] : [b, a];
    // The ray runs half a step below p's height in spirit: an end level with p counts as above.
    if (upper.y <= p.y && lower.y > p.y && exactTurn(upper, lower, p) > 0n) crossings += 1;
  }
  return crossings % 2 === 1 ? "inside" : "outside";
}
