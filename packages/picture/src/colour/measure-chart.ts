import { applyHomography } from "@samescale/geometry";
import type { UprightPicture } from "../decode/picture.ts";
import type { SeenChart } from "./chart/find-chart.ts";
import { type PatchColour, patchColour } from "./chart/patch-colour.ts";
import { CHART_COLUMNS, CHART24 } from "./chart24.ts";
import {
  type ChosenCorrection,
  chooseCorrection,
  type Differences,
  differenceOf,
  differences,
} from "./choose-correction.ts";
import { deltaE00, type Lab } from "./delta-e00.ts";
import type { PatchPair } from "./fit-correction.ts";
import { isUsed, type MeasuredPatch } from "./measured-patch.ts";
import { linearToLabD50, srgbToLinear } from "./space.ts";

export interface MeasuredChart extends ChosenCorrection {
  readonly patches: readonly MeasuredPatch[];
  readonly before: Differences;
}

export interface TooLittle {
  readonly reason: string;
}

/** A patch with more than this share of burnt-out pixels has lost its colour. */
const MAX_CLIPPED = 0.05;
/** In a saturated patch one channel may honestly stand near 0; only when most pixels are there is it lost. */
const MAX_DARK = 0.5;

/** With fewer not even white balance can be checked by leaving one out. */
const LEAST_PATCHES = 6;

/**
 * Measures the patches and fits the correction. Which patches are covered, soiled or in glare is settled in two
 * steps. First, of the patches by which the chart was recognised, whatever the others predict grossly wrong is left
 * out, worst first. Then every other patch that the correction predicts well is taken in.
 */
export function measureChart(
  picture: UprightPicture,
  chart: SeenChart,
  reference: readonly Lab[],
): MeasuredChart | TooLittle {
  const readable = CHART24.map((_, i) => measuredPatch(picture, chart, reference, i));
  const recognised = withoutOutliers(readable.map((p, i) => (chart.fitting[i] ? p : covered(p))));
  if ("reason" in recognised) return recognised;
  const { correction, leftOutDifferences } = recognised;
  const limit = Math.max(WELL_PREDICTED, 2 * median(leftOutDifferences));
  const patches = readable.map((p, i) =>
    isUsed(p) && !isUsed(recognised.patches[i]!) && differenceOf(correction, pairOf(p)) > limit
      ? covered(p)
      : p,
  );
  return withoutOutliers(patches);
}

/** Half of what counts as gross: a patch that was in doubt has to agree better than one that was not. */
const WELL_PREDICTED = 5;

function withoutOutliers(all: readonly MeasuredPatch[]): MeasuredChart | TooLittle {
  let patches = all;
  for (;;) {
    const chosen = chosenFor(patches);
    if ("reason" in chosen) return chosen;
    const used = patches.filter(isUsed);
    const most = Math.max(...chosen.leftOutDifferences);
    if (most <= Math.max(GROSS, 4 * median(chosen.leftOutDifferences))) {
      return { ...chosen, patches, before: differences(used.map(differenceAsIs)) };
    }
    const worst = used[chosen.leftOutDifferences.indexOf(most)];
    patches = patches.map((p) => (p === worst ? covered(p) : p));
  }
}

/**
 * A difference that no camera or print makes alone on one patch while the others agree; four times the median keeps a
 * chart whose colours are all poor (a printed copy) whole.
 */
const GROSS = 10;

const covered = (patch: MeasuredPatch): MeasuredPatch =>
  isUsed(patch) ? { ...patch, leftOut: "covered or in glare" } : patch;
/** The patches that are used, for a fit. */
export const pairsOf = (patches: readonly MeasuredPatch[]): PatchPair[] => patches.filter(isUsed).map(pairOf);

const pairOf = (patch: MeasuredPatch): PatchPair => ({ coded: patch.seen!.mean, labD50: patch.labD50 });

function chosenFor(patches: readonly MeasuredPatch[]): ChosenCorrection | TooLittle {
  const used = pairsOf(patches);
  if (used.length < LEAST_PATCHES) return { reason: `only ${used.length} of its 24 patches can be used` };
  return chooseCorrection(used);
}

function differenceAsIs(patch: MeasuredPatch): number {
  const [r, g, b] = patch.seen!.mean;
  return deltaE00(linearToLabD50([srgbToLinear(r), srgbToLinear(g), srgbToLinear(b)]), patch.labD50);
}

const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!;

function measuredPatch(
  picture: UprightPicture,
  chart: SeenChart,
  reference: readonly Lab[],
  i: number,
): MeasuredPatch {
  const [column, row] = [i % CHART_COLUMNS, Math.floor(i / CHART_COLUMNS)];
  const { name } = CHART24[i]!;
  const seen = patchColour(picture, chart.cellsToPx, column, row);
  return {
    name,
    ...applyHomography(chart.cellsToPx, { x: column, y: row }),
    seen,
    labD50: reference[i]!,
    leftOut: faultOf(seen),
  };
}

function faultOf(seen: PatchColour | null): MeasuredPatch["leftOut"] {
  if (!seen) return "outside the picture";
  if (seen.clippedHigh > MAX_CLIPPED) return "burnt out";
  if (seen.clippedLow > MAX_DARK) return "a channel at zero";
  return null;
}
