import { SamescaleError } from "@samescale/errors";
import type { Draw } from "./draws.ts";

export interface MonteCarloResult {
  readonly mean: number;
  /** Standard deviation of the draws. */
  readonly u: number;
  /** Between them lie 95 % of the draws, 2.5 % on either side. */
  readonly interval95: readonly [low: number, high: number];
}

/**
 * Propagation of distributions: draws every input, works the result out, and reads mean, standard uncertainty and
 * the 95 % interval off the results. 10,000 draws give the ends of the interval to about 2 % of its width,
 * 200,000 (the usual least for two digits) to 0.5 %.
 * @source JCGM101 §7, §7.7.2 (probabilistically symmetric interval)
 * @throws UNCERTAINTY_INPUT_INVALID when a draw gives no number, or with fewer than 100 draws
 */
export function monteCarlo(question: {
  readonly f: (values: readonly number[]) => number;
  readonly inputs: readonly { readonly name: string; readonly draw: Draw }[];
  readonly draws: number;
  readonly random: () => number;
}): MonteCarloResult {
  const { f, inputs, draws, random } = question;
  if (!(draws >= 100)) throw invalid(`Expected 100 draws or more, received ${draws}`);
  const results = new Float64Array(Math.floor(draws));
  const values = new Array<number>(inputs.length).fill(0);
  for (let k = 0; k < results.length; k++) {
    for (let i = 0; i < inputs.length; i++) values[i] = inputs[i]!.draw(random);
    const result = f(values);
    if (!Number.isFinite(result)) throw invalid(`Draw ${k} gave no number: ${result}`);
    results[k] = result;
  }
  results.sort();
  // Deviations are taken from the middle result, so that a small spread on a large value is not lost.
  const middle = results[results.length >> 1]!;
  let sum = 0;
  let squares = 0;
  for (const result of results) {
    sum += result - middle;
    squares += (result - middle) ** 2;
  }
  const n = results.length;
  const variance = Math.max(0, (squares - (sum * sum) / n) / (n - 1));
  return {
    mean: middle + sum / n,
    u: Math.sqrt(variance),
    interval95: [quantile(results, 0.025), quantile(results, 0.975)],
  };
}

function quantile(sorted: Float64Array, share: number): number {
  const place = share * (sorted.length - 1);
  const below = Math.floor(place);
  const above = Math.min(below + 1, sorted.length - 1);
  return sorted[below]! + (place - below) * (sorted[above]! - sorted[below]!);
}

const invalid = (message: string) =>
  new SamescaleError("UNCERTAINTY_INPUT_INVALID", message, "Check the inputs' distributions.");
