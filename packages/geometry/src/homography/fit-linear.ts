import { inverse, Matrix } from "ml-matrix";
import type { Matrix3 } from "./matrix3.ts";
import { type FitResult, faultOfPairs, judge, ON_ONE_LINE, type PointPair, refusedFit } from "./pairs.ts";
import { spreadOf } from "./spread.ts";
import { SymmetricSums } from "./symmetric-sums.ts";

/**
 * Turn, one scale for all directions, and shift, by weighted least squares in `to`:
 * `X = a x - b y + tx, Y = b x + a y + ty`. Never mirrors. `covariance` is 4 x 4, of a, b, tx, ty.
 * Refused with fewer than two different points.
 * @source Umeyama1991 (without reflection; here as a linear problem)
 */
export function fitSimilarity(pairs: readonly PointPair[]): FitResult {
  const fault = faultOfPairs(pairs, 2);
  if (fault !== null) return refusedFit(fault);
  return fitLinear(
    pairs,
    (x, y) => [
      [x, -y, 1, 0],
      [y, x, 0, 1],
    ],
    ([a, b, tx, ty]) => [
      [a!, -b!, tx!],
      [b!, a!, ty!],
      [0, 0, 1],
    ],
  );
}

/**
 * Affine map by weighted least squares in `to`. `covariance` is 6 x 6, of h11, h12, h13, h21, h22, h23.
 * Refused with fewer than three different points, or points (nearly) on one line.
 * @source Hartley2003 §4.1, affine case
 */
export function fitAffine(pairs: readonly PointPair[]): FitResult {
  const fault = faultOfPairs(pairs, 3);
  if (fault !== null) return refusedFit(fault);
  const used = pairs.filter((pair) => (pair.weight ?? 1) > 0);
  for (const side of ["from", "to"] as const) {
    if (spreadOf(used.map((pair) => pair[side])).acrossToAlong < ON_ONE_LINE) {
      return refusedFit(`the "${side}" points lie on one line, or nearly so`);
    }
  }
  return fitLinear(
    pairs,
    (x, y) => [
      [x, y, 1, 0, 0, 0],
      [0, 0, 0, x, y, 1],
    ],
    (e) => [
      [e[0]!, e[1]!, e[2]!],
      [e[3]!, e[4]!, e[5]!],
      [0, 0, 1],
    ],
  );
}

/** Least squares for maps linear in their elements, worked in coordinates about the middle of `from`. */
function fitLinear(
  pairs: readonly PointPair[],
  rowsAt: (x: number, y: number) => readonly [number[], number[]],
  build: (elements: readonly number[]) => Matrix3,
): FitResult {
  const used = pairs.filter((pair) => (pair.weight ?? 1) > 0);
  const { centre, size } = spreadOf(used.map((pair) => pair.from));
  const unknowns = rowsAt(0, 0)[0].length;
  const normal = new SymmetricSums(unknowns);
  const right = Matrix.zeros(unknowns, 1);
  for (const { from, to, weight = 1 } of used) {
    const rows = rowsAt((from.x - centre.x) / size, (from.y - centre.y) / size);
    for (const [row, value] of [
      [rows[0], to.x],
      [rows[1], to.y],
    ] as const) {
      normal.add(row, weight);
      for (let i = 0; i < unknowns; i++) right.set(i, 0, right.get(i, 0) + weight * row[i]! * value);
    }
  }
  const unscaled = inverse(normal.matrix());
  const elements = unscaled.mmul(right).getColumn(0);

  // From centred coordinates back: the map is linear, so each element is a fixed mixture of the centred ones.
  const back = Matrix.zeros(unknowns, unknowns);
  for (let k = 0; k < unknowns; k++) {
    const unit = new Array<number>(unknowns).fill(0).with(k, 1);
    const h = uncentred(build(unit), centre, size);
    back.setColumn(k, readBack(h, unknowns));
  }
  const homography = build(back.mmul(Matrix.columnVector(elements)).getColumn(0));
  const { varianceFactor, ...quality } = judge(pairs, homography, unknowns);
  return {
    ok: true,
    homography,
    ...quality,
    covariance: back.mmul(unscaled).mmul(back.transpose()).mul(varianceFactor).to2DArray(),
  };
}

function uncentred(h: Matrix3, centre: { x: number; y: number }, size: number): Matrix3 {
  const row = ([a, b, c]: readonly [number, number, number]) =>
    [a / size, b / size, c - (a * centre.x + b * centre.y) / size] as const;
  return [row(h[0]), row(h[1]), h[2]];
}

const readBack = (h: Matrix3, unknowns: number): number[] =>
  unknowns === 4 ? [h[0][0], h[1][0], h[0][2], h[1][2]] : [...h[0], ...h[1]];
