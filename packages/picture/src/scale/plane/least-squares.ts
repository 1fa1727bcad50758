import { solve } from "../numbers.ts";

export interface Minimum {
  readonly at: readonly number[];
  /** Inverse of the normal matrix there: the covariance when residuals are in standard deviations. */
  readonly covariance: readonly Float64Array[];
  readonly sumOfSquares: number;
}

const MOST_ROUNDS = 80;

/**
 * Levenberg-Marquardt with numerical derivatives, for a dozen parameters. Null when it does not come to rest.
 * @param steps sizes of the parameters' small changes
 */
export function leastSquares(
  residuals: (p: readonly number[]) => number[],
  start: readonly number[],
  steps: readonly number[],
): Minimum | null {
  let p = [...start];
  let r = residuals(p);
  let sum = dot(r, r);
  let damping = 1e-3;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const jacobian = derivative(residuals, p, r, steps);
    const normal = normalMatrix(jacobian);
    const gradient = jacobian.map((column) => dot(column, r));
    let improved = false;
    for (let attempt = 0; attempt < 12 && !improved; attempt++) {
      const system = normal.map((row, i) => {
        const full = new Float64Array(row.length + 1);
        full.set(row);
        full[i]! += damping * row[i]!;
        full[row.length] = -gradient[i]!;
        return full;
      });
      const step = solve(system);
      if (!step) return null;
      const next = p.map((v, i) => v + step[i]!);
      const rNext = residuals(next);
      const sumNext = dot(rNext, rNext);
      if (sumNext < sum) {
        improved = true;
        const settled = sum - sumNext < 1e-9 * sum + 1e-12 && damping < 1e-4;
        p = next;
        r = rNext;
        sum = sumNext;
        damping = Math.max(1e-9, damping / 5);
        if (settled) return finished(residuals, p, r, sum, steps);
      } else damping *= 6;
    }
    if (!improved) return finished(residuals, p, r, sum, steps);
  }
  return finished(residuals, p, r, sum, steps);
}

function finished(
  residuals: (p: readonly number[]) => number[],
  at: number[],
  r: number[],
  sumOfSquares: number,
  steps: readonly number[],
): Minimum | null {
  const covariance = inverse(normalMatrix(derivative(residuals, at, r, steps)));
  return covariance && Number.isFinite(sumOfSquares) ? { at, covariance, sumOfSquares } : null;
}

/**
 * Standard uncertainty of a function of the parameters, exact up to second order (points one deviation out along each
 * of the covariance's axes, scaled by the root of their number): a cosine at its top has no slope and still is unsure.
 * @source Julier1997
 */
export function propagated(f: (p: readonly number[]) => number, { at, covariance }: Minimum): number {
  const n = at.length;
  const centre = f(at);
  let square = 0;
  for (const axis of cholesky(covariance)) {
    for (const sign of [1, -1]) {
      const away = f(at.map((v, i) => v + sign * Math.sqrt(n) * axis[i]!)) - centre;
      square += away * away;
    }
  }
  return Math.sqrt(square / (2 * n)); // about the centre's own value: the shift of the mean counts as unsureness
}

/** Columns of the lower triangular root. */
function cholesky(covariance: readonly Float64Array[]): Float64Array[] {
  const n = covariance.length;
  const columns = Array.from({ length: n }, () => new Float64Array(n));
  for (let j = 0; j < n; j++) {
    for (let i = j; i < n; i++) {
      let sum = covariance[i]![j]!;
      for (let k = 0; k < j; k++) sum -= columns[k]![i]! * columns[k]![j]!;
      if (i === j) columns[j]![j] = Math.sqrt(Math.max(sum, 1e-300));
      else columns[j]![i] = sum / columns[j]![j]!;
    }
  }
  return columns;
}

function derivative(
  residuals: (p: readonly number[]) => number[],
  p: readonly number[],
  r: readonly number[],
  steps: readonly number[],
): number[][] {
  return p.map((_, i) => {
    const moved = residuals(p.map((v, j) => (j === i ? v + steps[i]! : v)));
    return moved.map((v, k) => (v - r[k]!) / steps[i]!);
  });
}

function normalMatrix(jacobian: readonly number[][]): Float64Array[] {
  return jacobian.map((a) => Float64Array.from(jacobian, (b) => dot(a, b)));
}

function inverse(matrix: readonly Float64Array[]): Float64Array[] | null {
  const n = matrix.length;
  const columns: number[][] = [];
  for (let c = 0; c < n; c++) {
    const system = matrix.map((row, i) => {
      const full = new Float64Array(n + 1);
      full.set(row);
      full[n] = i === c ? 1 : 0;
      return full;
    });
    const column = solve(system);
    if (!column) return null;
    columns.push(column);
  }
  return Array.from({ length: n }, (_, r) => Float64Array.from(columns, (column) => column[r]!));
}

function dot(a: readonly number[], b: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
