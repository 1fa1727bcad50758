import { CholeskyDecomposition, EigenvalueDecomposition, inverse, Matrix } from "ml-matrix";
import type { Matrix3 } from "./matrix3.ts";
import type { PointPair } from "./pairs.ts";

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
  const normal = Matrix.zeros(8, 8);
  const right = Matrix.zeros(8, 1);
  const add = (row: readonly number[], residual: number, weight: number): void => {
    for (let i = 0; i < 8; i++) {
      if (row[i] === 0) continue;
      right.set(i, 0, right.get(i, 0) + weight * row[i]! * residual);
      // The product is taken once for both places: the decomposition insists on exact symmetry.
      for (let j = i; j < 8; j++) {
        const sum = normal.get(i, j) + weight * row[i]! * row[j]!;
        normal.set(i, j, sum);
        normal.set(j, i, sum);
      }
    }
  };
  for (const { from, to, weight } of pairs) {
    const w = h[6]! * from.x + h[7]! * from.y + 1;
    const x = (h[0]! * from.x + h[1]! * from.y + h[2]!) / w;
    const y = (h[3]! * from.x + h[4]! * from.y + h[5]!) / w;
    const [u, v, one] = [from.x / w, from.y / w, 1 / w];
    add([u, v, one, 0, 0, 0, -x * u, -x * v], to.x - x, weight);
    add([0, 0, 0, u, v, one, -y * u, -y * v], to.y - y, weight);
  }
  return { normal, right };
}
