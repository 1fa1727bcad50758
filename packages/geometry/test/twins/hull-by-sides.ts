import type { Point } from "../../src/index.ts";
import { exactTurn } from "./exact-integers.ts";

/** Corners of the convex hull of whole-number points: a point is none when it lies in a triangle or segment of others. */
export function hullCornersBySides(points: readonly Point[]): string[] {
  const key = (p: Point) => `${p.x},${p.y}`;
  const distinct = [...new Map(points.map((p) => [key(p), p])).values()];
  const isBetween = (p: Point, a: Point, b: Point): boolean =>
    exactTurn(a, b, p) === 0n && (p.x - a.x) * (p.x - b.x) <= 0 && (p.y - a.y) * (p.y - b.y) <= 0;
  const isInside = (p: Point, a: Point, b: Point, c: Point): boolean => {
    const sides = [exactTurn(a, b, p), exactTurn(b, c, p), exactTurn(c, a, p)];
    return exactTurn(a, b, c) !== 0n && (sides.every((s) => s >= 0n) || sides.every((s) => s <= 0n));
  };
  const isCorner = (p: Point): boolean => {
    const others = distinct.filter((q) => q !== p);
    for (const [i, a] of others.entries()) {
      for (const [j, b] of others.slice(i + 1).entries()) {
        if (isBetween(p, a, b)) return false;
        for (const c of others.slice(i + 1 + j + 1)) if (isInside(p, a, b, c)) return false;
      }
    }
    return true;
  };
  return distinct.filter(isCorner).map(key).sort();
}
