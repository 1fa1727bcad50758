import { EigenvalueDecomposition, Matrix } from "ml-matrix";
import { orient2d } from "robust-predicates";
import type { Point } from "../units.ts";
import { isSingular, type Matrix3, sameSideOfHorizon, scaledToLastOne } from "./matrix3.ts";
import {
  type FitResult,
  faultOfPairs,
  judge,
  ON_ONE_LINE,
  type PointPair,
  refusedFit,
  type Spread,
  spreadOf,
} from "./pairs.ts";
import { refineHomography } from "./refine.ts";
import { SymmetricSums } from "./symmetric-sums.ts";

/**
 * Largest factor between position errors and errors of the map, both relative to the size of the point sets (1.1 for a
 * square). At 300, positions good to 1/1000 of the span leave the map uncertain by a third of itself, and a
 * first-order covariance says nothing any more.
 */
const LARGEST_AMPLIFICATION = 300;

/** Under this, relative to the largest, an eigenvalue of the linear equations' sums is rounding error. */
const NO_RANK = 1e-14;

/**
 * The homography from -> to that fits point pairs best: normalised direct linear transform, then Gauss-Newton on
 * the weighted distances measured in `to`. `covariance` is 8 x 8, of h11, h12, h13, h21 … h32 with h33 = 1.
 *
 * Refused, with a reason: fewer than four different points, three of four on one line, all (or all but one)
 * on one line or nearly so, points on both sides of the vanishing line (no camera sees that), and any set that would
 * enlarge position errors more than 300-fold.
 * @source Hartley2003 §4.1, §4.4 (normalisation), §4.2.3 (transfer error), §5.2 (covariance)
 */
export function fitHomography(pairs: readonly PointPair[]): FitResult {
  const fault = faultOfPairs(pairs, 4);
  if (fault !== null) return refusedFit(fault);
  const used = pairs.filter((pair) => (pair.weight ?? 1) > 0);
  const from = spreadOf(used.map((pair) => pair.from));
  const to = spreadOf(used.map((pair) => pair.to));
  const line = faultOfSpread(used, from, to);
  if (line !== null) return refusedFit(line);

  // Four pairs determine the map, so the fourth heaviest sets the measure: a single heavy pair makes no set ill.
  const unitWeight = used.map((pair) => pair.weight ?? 1).sort((p, q) => q - p)[3]!;
  const normalised = used.map((pair) => ({
    from: intoSpread(pair.from, from),
    to: intoSpread(pair.to, to),
    weight: (pair.weight ?? 1) / unitWeight,
  }));
  const start = directLinearTransform(normalised);
  if (start === null) return refusedFit("the points do not determine a homography: too many lie on one line");
  if (
    !sameSideOfHorizon(
      start,
      normalised.map((pair) => pair.from),
    )
  ) {
    return refusedFit("some points would lie behind the camera: check the order of the points");
  }
  const refined = refineHomography(scaledToLastOne(start), normalised);
  if (refined === null || isSingular(refined.homography)) {
    return refusedFit("the points do not determine a homography: nearly too many lie on one line");
  }
  if (
    !sameSideOfHorizon(
      refined.homography,
      normalised.map((pair) => pair.from),
    )
  ) {
    return refusedFit("some points would lie behind the camera: check the order of the points");
  }
  if (!(refined.amplification <= LARGEST_AMPLIFICATION)) {
    return refusedFit(
      `the points hardly determine a homography: position errors would grow ${refined.amplification.toFixed(0)}-fold`,
    );
  }

  const { homography, lastElement } = outOfSpread(refined.homography, from, to);
  if (lastElement === 0) return refusedFit('the origin of "from" lies on the vanishing line');
  const { varianceFactor, ...quality } = judge(pairs, homography, 8);
  const unit = varianceFactor / (unitWeight * to.size * to.size);
  return {
    ok: true,
    homography,
    ...quality,
    covariance: covarianceOutOfSpread(refined.covariance, refined.homography, from, to, unit),
  };
}

function faultOfSpread(used: readonly PointPair[], from: Spread, to: Spread): string | null {
  for (const [side, spread] of [
    ["from", from],
    ["to", to],
  ] as const) {
    if (spread.acrossToAlong < ON_ONE_LINE) return `the "${side}" points lie on one line, or nearly so`;
    if (
      used.length === 4 &&
      threeOnOneLine(
        used.map((pair) => pair[side]),
        spread.size,
      )
    ) {
      return `three of the four "${side}" points lie on one line, or nearly so`;
    }
  }
  return null;
}

/** Twice the area of a triangle of three of four points, against the square of the set's size. */
function threeOnOneLine(points: readonly Point[], size: number): boolean {
  return points.some((_, out) => {
    const [a, b, c] = points.filter((__, i) => i !== out) as [Point, Point, Point];
    return Math.abs(orient2d(a.x, a.y, b.x, b.y, c.x, c.y)) < ON_ONE_LINE * size * size;
  });
}

const intoSpread = (p: Point, spread: Spread): Point => ({
  x: (p.x - spread.centre.x) / spread.size,
  y: (p.y - spread.centre.y) / spread.size,
});

/**
 * Direction in which the 2n equations `to x (h from) = 0` come nearest to zero: the last eigenvector of their 9 x 9 sums.
 * Null when there is more than one such direction.
 */
function directLinearTransform(pairs: readonly Required<PointPair>[]): Matrix3 | null {
  const sums = new SymmetricSums(9);
  for (const { from, to, weight } of pairs) {
    sums.add([from.x, from.y, 1, 0, 0, 0, -to.x * from.x, -to.x * from.y, -to.x], weight);
    sums.add([0, 0, 0, from.x, from.y, 1, -to.y * from.x, -to.y * from.y, -to.y], weight);
  }
  const { realEigenvalues, eigenvectorMatrix } = new EigenvalueDecomposition(sums.matrix(), {
    assumeSymmetric: true,
  });
  if (!(realEigenvalues[1]! > NO_RANK * realEigenvalues[8]!)) return null;
  const v = eigenvectorMatrix.getColumn(0);
  return [
    [v[0]!, v[1]!, v[2]!],
    [v[3]!, v[4]!, v[5]!],
    [v[6]!, v[7]!, v[8]!],
  ];
}

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

function outOfSpread(h: Matrix3, from: Spread, to: Spread) {
  const e = elementsOutOfSpread(h.flat(), from, to);
  const homography: Matrix3 = [
    [e[0]!, e[1]!, e[2]!],
    [e[3]!, e[4]!, e[5]!],
    [e[6]!, e[7]!, e[8]!],
  ];
  return { homography: scaledToLastOne(homography), lastElement: e[8]! };
}

/** First-order change of coordinates for the covariance: elements / last element, through the linear map above. */
function covarianceOutOfSpread(c: Matrix, h: Matrix3, from: Spread, to: Spread, unit: number): number[][] {
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
