import type { Point } from "../units.ts";
import type { Ring } from "./ring.ts";
import { turn } from "./turn.ts";

/**
 * Convex hull, clockwise as seen (y down), without points inside its edges. One or two points for sets that have
 * no area. Turns are exact, so nearly straight sets give no wrong corner.
 * @source Andrew1979 (monotone chain)
 */
export function convexHullOf(points: readonly Point[]): Ring {
  const sorted = points.toSorted((p, q) => p.x - q.x || p.y - q.y);
  const distinct = sorted.filter((p, i) => i === 0 || p.x !== sorted[i - 1]!.x || p.y !== sorted[i - 1]!.y);
  if (distinct.length < 3) return distinct;
  const top = clockwiseChain(distinct);
  const bottom = clockwiseChain(distinct.toReversed());
  return [...top.slice(0, -1), ...bottom.slice(0, -1)];
}

function clockwiseChain(path: readonly Point[]): Point[] {
  const chain: Point[] = [];
  for (const p of path) {
    while (chain.length >= 2 && turn(chain.at(-2)!, chain.at(-1)!, p) <= 0) chain.pop();
    chain.push(p);
  }
  return chain;
}
