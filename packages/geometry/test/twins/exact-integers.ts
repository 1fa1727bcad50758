import type { Point } from "../../src/index.ts";

/** Twice the signed area of a triangle with whole-number corners, in big integers: no rounding at all. */
export function exactTurn(a: Point, b: Point, c: Point): bigint {
  const [ax, ay, bx, by, cx, cy] = [a.x, a.y, b.x, b.y, c.x, c.y].map(BigInt) as [
    bigint,
    bigint,
    bigint,
    bigint,
    bigint,
    bigint,
  ];
  return (bx - ax) * (cy - ay) - (by - ay) * (cx - ax);
}

export const sign = (v: bigint): number => (v > 0n ? 1 : v < 0n ? -1 : 0);
