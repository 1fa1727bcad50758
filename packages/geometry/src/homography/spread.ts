import { Matrix } from "ml-matrix";
import type { Point } from "../units.ts";
import { type Matrix3, scaledToLastOne } from "./matrix3.ts";

/** Where a set of points lies and how far it reaches: the coordinates in which a fit is worked out, centred and of size 1. */
export interface Spread {
  readonly centre: Point;
  /** Root mean square distance from the centre. */
  readonly size: number;
  /** Standard deviation across the main direction over the one along it: 0 on a line, 1 for a square. */
  readonly acrossToAlong: number;
}

export function spreadOf(points: readonly Point[]): Spread {
  const n = points.length;
  let cx = 0;
  let cy = 0;
  for (const p of points) {
    cx += p.x / n;
    cy += p.y / n;
  }
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (const p of points) {
    xx += (p.x - cx) ** 2 / n;
    xy += ((p.x - cx) * (p.y - cy)) / n;
    yy += (p.y - cy) ** 2 / n;
  }
  const along = (xx + yy + Math.hypot(xx - yy, 2 * xy)) / 2;
  const across = along > 0 ? Math.max(0, xx * yy - xy * xy) / along : 0;
  return {
    centre: { x: cx, y: cy },
    size: Math.sqrt(xx + yy),
    acrossToAlong: along > 0 ? Math.sqrt(across / along) : 0,
  };
}

export const intoSpread = (p: Point, spread: Spread): Point => ({
  x: (p.x - spread.centre.x) / spread.size,
  y: (p.y - spread.centre.y) / spread.size,
});

/** The nine elements, before scaling, of `T_to⁻¹ h T_from`; linear in the elements of h. */
function elementsOutOfSpread(h: readonly number[], from: Spread, to: Spread): number[] {
  const s = from.size;
  const rows = [0, 3, 6].map((r) => {
    const [a, b, c] = [h[r]! / s, h[r + 1]! / s, h[r + 2]!];
    return [a, b, c - a * from.centre.x - b * from.centre.y];
  });
  const out: number[] = [];
  for (const [row, centre] of [
    [rows[0]!, to.centre.x],
    [rows[1]!, to.centre.y],
  ] as const) {
    for (let c = 0; c < 3; c++) out.push(to.size * row[c]! + centre * rows[2]![c]!);
  }
  return [...out, ...rows[2]!];
}

/** A homography between centred coordinates, in the coordinates that the points were given in. */
export function outOfSpread(h: Matrix3, from: Spread, to: Spread) {
  const e = elementsOutOfSpread(h.flat(), from, to);
  const homography: Matrix3 = [
    [e[0]!, e[1]!, e[2]!],
    [e[3]!, e[4]!, e[5]!],
    [e[6]!, e[7]!, e[8]!],
  ];
  return { homography: scaledToLastOne(homography), lastElement: e[8]! };
}

/** First-order change of coordinates for the covariance: elements / last element, through the linear map above. */
export function covarianceOutOfSpread(
  c: Matrix,
  h: Matrix3,
  from: Spread,
  to: Spread,
  unit: number,
): number[][] {
  const e = elementsOutOfSpread(h.flat(), from, to);
  const last = e[8]!;
  const change = Matrix.zeros(8, 8);
  for (let k = 0; k < 8; k++) {
    const basis = new Array<number>(9).fill(0).with(k, 1);
    const d = elementsOutOfSpread(basis, from, to);
    for (let i = 0; i < 8; i++) change.set(i, k, (d[i]! - (e[i]! / last) * d[8]!) / last);
  }
  return change.mmul(c).mmul(change.transpose()).mul(unit).to2DArray();
}
