import { SamescaleError } from "@samescale/errors";
import { coverageFactor95 } from "./coverage.ts";

export interface UncertainInput {
  readonly name: string;
  readonly value: number;
  /** Standard uncertainty, in the unit of the value. */
  readonly u: number;
  /** Degrees of freedom behind `u`; left out where `u` is taken as known. */
  readonly degreesOfFreedom?: number;
}

/** Correlation coefficient between two inputs, by name. Pairs not named are independent. */
export interface Correlation {
  readonly between: readonly [string, string];
  readonly r: number;
}

export interface BudgetLine {
  readonly source: string;
  /** This source's part of the result's standard uncertainty, in the unit of the result. */
  readonly u: number;
  /** Its share of the result's variance; the shares add up to 1. Negative where correlation makes it cancel. */
  readonly share: number;
}

export interface Propagated {
  readonly value: number;
  readonly u: number;
  /** Half-width of the 95 % interval. */
  readonly u95: number;
  /** Effective degrees of freedom; infinite where no input stated its own. */
  readonly degreesOfFreedom: number;
  /** Largest first. */
  readonly budget: readonly BudgetLine[];
}

/**
 * Law of propagation of uncertainty, with a budget that names each source. The part of an input is
 * `½ (f(x + u) - f(x - u))`, so a bend of `f` within one standard uncertainty is taken in; a fold (|x| near 0) is not:
 * use `monteCarlo` there. With correlations `u² = Σ Σ rᵢⱼ cᵢuᵢ cⱼuⱼ`. The coverage factor is 1.96, or Student's t at
 * the effective degrees of freedom (Welch and Satterthwaite) where inputs state theirs.
 * @source JCGM100 §5.1.2, §5.1.3 note 2, §5.2.2, annex G.4
 * @throws UNCERTAINTY_INPUT_INVALID
 */
export function propagate(question: {
  readonly f: (values: readonly number[]) => number;
  readonly inputs: readonly UncertainInput[];
  readonly correlations?: readonly Correlation[];
}): Propagated {
  const { f, inputs } = question;
  for (const input of inputs) checkInput(input);
  const values = inputs.map((input) => input.value);
  const parts = inputs.map((input, i) => {
    if (input.u === 0) return 0;
    return (f(values.with(i, input.value + input.u)) - f(values.with(i, input.value - input.u))) / 2;
  });
  const value = f(values);
  if (!parts.every(Number.isFinite) || !Number.isFinite(value)) {
    throw invalid(`The result is not a number within one standard uncertainty of the inputs: ${value}`);
  }
  const r = correlationMatrix(inputs, question.correlations ?? []);
  const contributions = parts.map((p, i) => p * parts.reduce((sum, q, j) => sum + r[i]![j]! * q, 0));
  const variance = Math.max(0, sumOf(contributions));
  const u = Math.sqrt(variance);
  const budget = inputs
    .map((input, i) => ({
      source: input.name,
      u: Math.abs(parts[i]!),
      share: variance > 0 ? contributions[i]! / variance : 0,
    }))
    .sort((one, other) => other.u - one.u);
  const degreesOfFreedom = effectiveDegreesOfFreedom(inputs, parts, u);
  return { value, u, u95: coverageFactor95(degreesOfFreedom) * u, degreesOfFreedom, budget };
}

/** Welch and Satterthwaite; infinite when no input states degrees of freedom. @source JCGM100 annex G.4.1 */
function effectiveDegreesOfFreedom(inputs: readonly UncertainInput[], parts: readonly number[], u: number) {
  const denominator = sumOf(
    inputs.map((input, i) => (u === 0 ? 0 : (parts[i]! / u) ** 4 / (input.degreesOfFreedom ?? Infinity))),
  );
  return 1 / denominator;
}

function correlationMatrix(inputs: readonly UncertainInput[], correlations: readonly Correlation[]) {
  const r: number[][] = inputs.map((_, i) => inputs.map((_, j) => (i === j ? 1 : 0)));
  const indexOf = (name: string): number => {
    const index = inputs.findIndex((input) => input.name === name);
    if (index < 0) throw invalid(`A correlation names "${name}", which is no input`);
    return index;
  };
  for (const { between, r: coefficient } of correlations) {
    if (!(Math.abs(coefficient) <= 1))
      throw invalid(`A correlation lies between -1 and 1, received ${coefficient}`);
    const [i, j] = [indexOf(between[0]), indexOf(between[1])];
    r[i]![j] = coefficient;
    r[j]![i] = coefficient;
  }
  return r;
}

function checkInput(input: UncertainInput): void {
  if (!Number.isFinite(input.value)) throw invalid(`"${input.name}" is not a number: ${input.value}`);
  if (!(input.u >= 0) || input.u === Infinity) {
    throw invalid(`The standard uncertainty of "${input.name}" must be 0 or more, received ${input.u}`);
  }
}

const invalid = (message: string) =>
  new SamescaleError("UNCERTAINTY_INPUT_INVALID", message, "Check the value and its uncertainty.");

const sumOf = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0);
