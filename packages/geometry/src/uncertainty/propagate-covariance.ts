import { SamescaleError } from "@samescale/errors";
import { EigenvalueDecomposition, Matrix } from "ml-matrix";

/**
 * Law of propagation for several correlated inputs and several results: the covariance of `f(values)` where the
 * inputs have `covariance`. The inputs are moved together along the independent directions of their covariance, by
 * one standard deviation each, so that strongly correlated ones (the elements of a homography) are never moved
 * to combinations that the data exclude.
 * @source JCGM100 §5.2.2; JCGM102 §6.2 (several results)
 * @throws UNCERTAINTY_INPUT_INVALID
 */
export function propagateCovariance(question: {
  readonly f: (values: readonly number[]) => readonly number[];
  readonly values: readonly number[];
  readonly covariance: readonly (readonly number[])[];
}): number[][] {
  const { f, values, covariance } = question;
  const n = values.length;
  const deviations = values.map((_, i) => Math.sqrt(covariance[i]?.[i] ?? NaN));
  if (![...values, ...deviations].every(Number.isFinite) || covariance.some((row) => row.length !== n)) {
    throw invalid(`Expected ${n} numbers and their ${n} x ${n} covariance`);
  }
  // Scaled to correlations first: elements of a homography differ by nine orders of magnitude.
  const correlation = Matrix.zeros(n, n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      const scale = deviations[i]! * deviations[j]!;
      correlation.set(i, j, scale > 0 ? covariance[i]![j]! / scale : 0);
    }
  }
  const { realEigenvalues, eigenvectorMatrix } = new EigenvalueDecomposition(correlation, {
    assumeSymmetric: true,
  });
  const result: number[][] = [];
  for (const [k, eigenvalue] of realEigenvalues.entries()) {
    if (!(eigenvalue > 0)) continue;
    const step = deviations.map((u, i) => u * Math.sqrt(eigenvalue) * eigenvectorMatrix.get(i, k));
    const above = f(values.map((v, i) => v + step[i]!));
    const below = f(values.map((v, i) => v - step[i]!));
    const half = above.map((v, i) => (v - below[i]!) / 2);
    if (!half.every(Number.isFinite)) throw invalid("A result is not a number within one standard deviation");
    for (let i = 0; i < half.length; i++) {
      result[i] ??= new Array<number>(half.length).fill(0);
      for (let j = 0; j < half.length; j++) result[i]![j]! += half[i]! * half[j]!;
    }
  }
  if (result.length > 0) return result;
  const count = f(values).length;
  return Array.from({ length: count }, () => new Array<number>(count).fill(0));
}

const invalid = (message: string) =>
  new SamescaleError("UNCERTAINTY_INPUT_INVALID", message, "Check the values and their covariance.");
