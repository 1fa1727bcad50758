import type { Point, Ring } from "../../src/index.ts";
import { exactTurn, sign } from "./exact-integers.ts";

const same = (p: Point, q: Point): boolean => p.x === q.x && p.y === q.y;

/** Whether a point lies on a segment, whole numbers only. */
function isOn(p: Point, a: Point, b: Point): boolean {
  return (
    exactTurn(a, b, p) === 0n &&
    Math.min(a.x, b.x) <= p.x &&
    p.x <= Math.max(a.x, b.x) &&
    Math.min(a.y, b.y) <= p.y &&
    p.y <= Math.max(a.y, b.y)
  );
}

/** Whether two segments have more than one point in common. */
function shareAStretch(a: Point, b: Point, c: Point, d: Point): boolean {
  if (exactTurn(a, b, c) !== 0n || exactTurn(a, b, d) !== 0n) return false;
  const shared = [c, d].filter((p) => isOn(p, a, b)).concat([a, b].filter((p) => isOn(p, c, d)));
  return shared.some((p) => shared.some((q) => !same(p, q)));
}

function meet(a: Point, b: Point, c: Point, d: Point): boolean {
  if (isOn(c, a, b) || isOn(d, a, b) || isOn(a, c, d) || isOn(b, c, d)) return true;
  return (
    sign(exactTurn(a, b, c)) * sign(exactTurn(a, b, d)) < 0 &&
    sign(exactTurn(c, d, a)) * sign(exactTurn(c, d, b)) < 0
  );
}

/**
 * Every pair of a ring's edges that meet other than as neighbours do, as "i-j"; all pairs, exact whole-number
 * arithmetic. Edges without length are left out, neighbours are found across them.
 */
export function crossingsByPairs(ring: Ring): string[] {
  const n = ring.length;
  const edges = ring
    .map((a, index) => ({ index, a, b: ring[(index + 1) % n]! }))
    .filter(({ a, b }) => !same(a, b));
  const found: string[] = [];
  for (let i = 0; i < edges.length; i++) {
    for (let j = i + 1; j < edges.length; j++) {
      const [one, other] = [edges[i]!, edges[j]!];
      const areNeighbours = j === i + 1 || (i === 0 && j === edges.length - 1);
      const counts = areNeighbours
        ? shareAStretch(one.a, one.b, other.a, other.b)
        : meet(one.a, one.b, other.a, other.b);
      if (counts) found.push(`${one.index}-${other.index}`);
    }
  }
  return found;
}
