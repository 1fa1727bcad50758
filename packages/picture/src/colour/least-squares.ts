import { CholeskyDecomposition, Matrix } from "ml-matrix";

const MOST_STEPS = 40;
/** Relative fall of the sum of squares under which nothing that could be seen is gained any more. */
const SMALLEST_GAIN = 1e-5;

/**
 * Levenberg–Marquardt with numeric derivatives, for small problems (some 20 unknowns, some 70 residuals) whose
 * unknowns are all of order 1. Returns the best parameters met; never worse than the start.
 *
 * @source Marquardt1963
 */
export function leastSquares(
  residualsOf: (parameters: readonly number[]) => number[],
  start: readonly number[],
): number[] {
  let best = [...start];
  let residuals = residualsOf(best);
  let cost = squares(residuals);
  let damping = 1e-3;
  for (let step = 0; step < MOST_STEPS; step++) {
    const jacobian = derivatives(residualsOf, best, residuals);
    const transposed = jacobian.transpose();
    const normal = transposed.mmul(jacobian);
    const gradient = transposed.mmul(Matrix.columnVector(residuals));
    let gained = 0;
    for (let attempt = 0; attempt < 8; attempt++) {
      const damped = normal.clone();
      for (let i = 0; i < best.length; i++) damped.set(i, i, normal.get(i, i) * (1 + damping) + 1e-12);
      const cholesky = new CholeskyDecomposition(damped);
      if (cholesky.isPositiveDefinite()) {
        const change = cholesky.solve(gradient).getColumn(0);
        const tried = best.map((p, i) => p - change[i]!);
        const triedResiduals = residualsOf(tried);
        const triedCost = squares(triedResiduals);
        if (triedCost < cost) {
          gained = (cost - triedCost) / cost;
          [best, residuals, cost] = [tried, triedResiduals, triedCost];
          damping = Math.max(damping / 10, 1e-9);
          break;
        }
      }
      damping *= 10;
    }
    if (gained < SMALLEST_GAIN) break;
  }
  return best;
}

const squares = (values: readonly number[]): number => values.reduce((s, v) => s + v * v, 0);

function derivatives(
  residualsOf: (parameters: readonly number[]) => number[],
  at: readonly number[],
  residuals: readonly number[],
): Matrix {
  const STEP = 1e-6;
  const jacobian = Matrix.zeros(residuals.length, at.length);
  for (let j = 0; j < at.length; j++) {
    const moved = residualsOf(at.with(j, at[j]! + STEP));
    for (let i = 0; i < residuals.length; i++) jacobian.set(i, j, (moved[i]! - residuals[i]!) / STEP);
  }
  return jacobian;
}
