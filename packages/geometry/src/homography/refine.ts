import { CholeskyDecomposition, EigenvalueDecomposition, inverse, Matrix } from "ml-matrix";
import type { Matrix3 } from "./matrix3.ts";
import type { PointPair } from "./pairs.ts";
import { SymmetricSums } from "./symmetric-sums.ts";

/** Gauss-Newton squares its error at each step near the solution; more than a few steps mean that it wanders. */
const MOST_STEPS = 30;
/** A step below this, in normalised elements of size about 1, is rounding error. */
const SMALLEST_STEP = 1e-14;

export interface Refined {
  readonly homography: Matrix3;
  /** 8 x 8, elements 11 … 32, for unit variance in `to` at weight 1. */
  readonly covariance: Matrix;
  /** Largest factor by which unit errors in `to` reappear in the elements; weights above 1 count as 1. */
  readonly amplification: number;
}

/**
 * Least squares on the distances in `to`, from a starting homography with last element 1, by Gauss-Newton with
 * halved steps where a whole one does not help. Pairs must be normalised (centred, size about 1).
 * Null when the equations have no single solution.
 * @source Hartley2003 §4.2.3, appendix 6
 */
export function refineHomography(start: Matrix3, pairs: readonly Required<PointPair>[]): Refined | null {
  let h = start.flat() as number[];
  let cost = costOf(h, pairs);
  for (let step = 0; step < MOST_STEPS; step++) {
    const { normal, right } = normalEquations(h, pairs);
    const cholesky = new CholeskyDecomposition(normal);
    if (!cholesky.isPositiveDefinite()) return null;
    const change = cholesky.solve(right).getColumn(0);
    const next = halvedUntilBetter(h, change, cost, pairs);
    if (next === null) break;
    h = next.h;
    cost = next.cost;
    if (Math.max(...change.map(Math.abs)) < SMALLEST_STEP) break;
  }
  const { normal } = normalEquations(h, pairs);
  const level = normalEquations(
    h,
    pairs.map((pair) => ({ ...pair, weight: Math.min(1, pair.weight) })),
  ).normal;
  const smallest = new EigenvalueDecomposition(level, { assumeSymmetric: true }).realEigenvalues[0]!;
  if (!(smallest > 0)) return null;
  return {
    homography: [
      [h[0]!, h[1]!, h[2]!],
      [h[3]!, h[4]!, h[5]!],
      [h[6]!, h[7]!, 1],
    ],
    covariance: inverse(normal),
    amplification: 1 / Math.sqrt(smallest),
  };
}

function halvedUntilBetter(
  h: readonly number[],
  change: readonly number[],
  cost: number,
  pairs: readonly Required<PointPair>[],
): { h: number[]; cost: number } | null {
  for (let share = 1; share > 1e-4; share /= 2) {
    const tried = h.map((v, i) => (i < 8 ? v + share * change[i]! : v));
    const triedCost = costOf(tried, pairs);
    if (triedCost < cost) return { h: tried, cost: triedCost };
  }
  return null;
}

function costOf(h: readonly number[], pairs: readonly Required<PointPair>[]): number {
  let cost = 0;
  for (const { from, to, weight } of pairs) {
    const w = h[6]! * from.x + h[7]! * from.y + 1;
    const dx = (h[0]! * from.x + h[1]! * from.y + h[2]!) / w - to.x;
    const dy = (h[3]! * from.x + h[4]! * from.y + h[5]!) / w - to.y;
    cost += weight * (dx * dx + dy * dy);
  }
  return cost;
}

/** `JᵀWJ` and `JᵀW(to - h from)` for the eight elements. */
function normalEquations(h: readonly number[], pairs: readonly Required<PointPair>[]) {
  const sums = new SymmetricSums(8);
  const right = new Float64Array(8);
  const row = new Float64Array(8);
  for (const { from, to, weight } of pairs) {
    const w = h[6]! * from.x + h[7]! * from.y + 1;
    const x = (h[0]! * from.x + h[1]! * from.y + h[2]!) / w;
    const y = (h[3]! * from.x + h[4]! * from.y + h[5]!) / w;
    const [u, v, one] = [from.x / w, from.y / w, 1 / w];
    for (const [offset, value, wanted] of [
      [0, x, to.x],
      [3, y, to.y],
    ] as const) {
      row.fill(0);
      row[offset] = u;
      row[offset + 1] = v;
      row[offset + 2] = one;
      row[6] = -value * u;
      row[7] = -value * v;
      sums.add(row, weight);
      for (let i = 0; i < 8; i++) right[i]! += weight * row[i]! * (wanted - value);
    }
  }
  return { normal: sums.matrix(), right: Matrix.columnVector(right) };
}
