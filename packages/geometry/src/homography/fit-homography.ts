import { EigenvalueDecomposition } from "ml-matrix";
import { orient2d } from "robust-predicates";
import type { Point } from "../units.ts";
import { isSingular, type Matrix3, sameSideOfHorizon, scaledToLastOne } from "./matrix3.ts";
import { type FitResult, faultOfPairs, judge, ON_ONE_LINE, type PointPair, refusedFit } from "./pairs.ts";
import { refineHomography } from "./refine.ts";
import { covarianceOutOfSpread, intoSpread, outOfSpread, type Spread, spreadOf } from "./spread.ts";
import { SymmetricSums } from "./symmetric-sums.ts";

/**
 * Largest factor between position errors and errors of the map, both relative to the size of the point sets (1.1 for a
 * square). At 300, positions good to 1/1000 of the span leave the map uncertain by a third of itself, and a
 * first-order covariance says nothing any more.
 */
const LARGEST_AMPLIFICATION = 300;

/** Under this, relative to the largest, an eigenvalue of the linear equations' sums is rounding error. */
const NO_RANK = 1e-14;

const BEHIND = "some points would lie behind the camera: check the order of the points";

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
  const places = normalised.map((pair) => pair.from);
  if (!sameSideOfHorizon(start, places)) return refusedFit(BEHIND);
  const refined = refineHomography(scaledToLastOne(start), normalised);
  if (refined === null || isSingular(refined.homography)) {
    return refusedFit("the points do not determine a homography: nearly too many lie on one line");
  }
  if (!sameSideOfHorizon(refined.homography, places)) return refusedFit(BEHIND);
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
