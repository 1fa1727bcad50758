import { type Correction, correctedLabD50 } from "./correction.ts";
import { deltaE00 } from "./delta-e00.ts";
import { fitCorrection, MODELS, type Model, type PatchPair, unknownsOf } from "./fit-correction.ts";

export interface Differences {
  readonly mean: number;
  readonly max: number;
}

export interface ChosenCorrection {
  readonly correction: Correction;
  readonly model: Model;
  /** On the patches it was fitted to. */
  readonly after: Differences;
  /** Each patch as corrected by a fit that had not seen it. */
  readonly crossValidated: Differences;
  /** The same patch by patch. */
  readonly leftOutDifferences: readonly number[];
}

/** A richer candidate has to be better by more than this, a difference that no one sees, to be preferred. */
const WORTH_IT = 0.05;

/** Half of the three numbers that a patch gives: the rest has to speak for the fit. */
const UNKNOWNS_PER_PATCH = 1.5;

/**
 * Tries the candidates, simplest first, and keeps the one whose colours are nearest when every patch in turn is
 * left out of the fit and predicted. The candidates' number is small (five), so choosing by the cross-validated mean
 * flatters it by little.
 */
export function chooseCorrection(patches: readonly PatchPair[]): ChosenCorrection {
  let chosen: ChosenCorrection | null = null;
  for (const model of MODELS) {
    if (chosen && unknownsOf(model) > UNKNOWNS_PER_PATCH * patches.length) continue;
    const tried = tryModel(model, patches);
    if (!chosen || tried.crossValidated.mean < chosen.crossValidated.mean - WORTH_IT) chosen = tried;
  }
  return chosen!;
}

export function tryModel(model: Model, patches: readonly PatchPair[]): ChosenCorrection {
  const correction = fitCorrection(model, patches);
  const leftOut = patches.map((patch, i) => {
    const others = patches.filter((_, j) => j !== i);
    return differenceOf(fitCorrection(model, others, correction), patch);
  });
  return {
    correction,
    model,
    after: differences(patches.map((patch) => differenceOf(correction, patch))),
    crossValidated: differences(leftOut),
    leftOutDifferences: leftOut,
  };
}

export const differenceOf = (correction: Correction, { coded, labD50 }: PatchPair): number =>
  deltaE00(correctedLabD50(correction, coded), labD50);

export const differences = (values: readonly number[]): Differences => ({
  mean: values.reduce((s, v) => s + v, 0) / values.length,
  max: Math.max(...values),
});
