import { applyHomography, type Point } from "@samescale/geometry";
import type { ChartEdition, ColourAnswer, XY } from "../answers.ts";
import { bytesOfFile } from "../decode/bytes-of-file.ts";
import { decodeBytes } from "../decode/decode.ts";
import type { ColourInput } from "../pool/tasks.ts";
import { locateChart } from "./chart/locate-chart.ts";
import { CHART_COLUMNS, CHART_ROWS } from "./chart24.ts";
import { type Correction, correctedLabD50, TERMS } from "./correction.ts";
import { deltaE00 } from "./delta-e00.ts";
import { exposureStops, lightFalloff } from "./light.ts";
import { type MeasuredChart, type MeasuredPatch, measureChart } from "./measure-chart.ts";
import { writeCorrected } from "./write-corrected.ts";

/** Enough to see a chart that is 1/20 of the picture's length; more only costs time. */
const SEARCH_SIDE_PX = 2400;

/** Charts have been made to these values for many years now; asked for by name the other is taken. */
const ASSUMED_EDITION: ChartEdition = "after-2014";

const RECIPE = { step: "colour", version: 1 } as const;

/**
 * Finds the 24-patch chart in a photograph, judges its light, fits the colour correction and, if asked, writes the
 * corrected picture. Without a chart, or with too little of it: not found, with the reason; nothing is written.
 *
 * @throws SamescaleError those of reading, decoding and `writeCorrected`
 */
export async function colourOfFile(input: ColourInput): Promise<ColourAnswer> {
  const { file } = input;
  const { bytes } = await bytesOfFile(file);
  const picture = await decodeBytes(bytes, file, { maxSidePx: SEARCH_SIDE_PX });
  const located = locateChart(picture);
  if (!located.found) return { file, found: false, reason: located.reason };
  const { chart } = located;
  const edition = input.chartEdition ?? ASSUMED_EDITION;
  const measured = measureChart(picture, chart, edition);
  if ("reason" in measured) {
    return { file, found: false, reason: `a chart is there, but it cannot be used: ${measured.reason}` };
  }
  const stops = exposureStops(measured.patches);
  const falloff = lightFalloff(measured.patches, measured.correction);
  const warnings = [
    ...picture.warnings,
    ...editionWarnings(input.chartEdition, edition, measured, () =>
      measureChart(picture, chart, edition === "after-2014" ? "before-2014" : "after-2014"),
    ),
    ...patchWarnings(measured.patches),
    ...(chart.mirrored ? ["the chart is seen as in a mirror: this picture is mirrored"] : []),
    ...(located.others > 0 ? ["more than one chart is in the picture; the clearest was used"] : []),
    ...lightWarnings(stops, falloff, measured),
    ...(input.correctedFile
      ? await writeCorrected(bytes, file, measured.correction, input.correctedFile)
      : []),
  ];
  const toFull = (p: Point): XY => [p.x / picture.scale, p.y / picture.scale];
  const corner = (x: number, y: number): XY => toFull(applyHomography(chart.cellsToPx, { x, y }));
  const [right, bottom] = [CHART_COLUMNS - 1, CHART_ROWS - 1];
  return {
    file,
    found: true,
    corners: [corner(0, 0), corner(right, 0), corner(right, bottom), corner(0, bottom)],
    mirrored: chart.mirrored,
    edition,
    deltaE00: { before: measured.before, after: measured.after, crossValidated: measured.crossValidated },
    correction: described(measured.correction),
    exposureStops: stops,
    lightFalloff: falloff,
    patches: measured.patches.map((patch) => ({
      name: patch.name,
      at: toFull(patch),
      deltaE00: patch.seen
        ? deltaE00(correctedLabD50(measured.correction, patch.seen.mean), patch.labD50)
        : null,
      leftOut: patch.leftOut,
    })),
    ...(input.correctedFile ? { correctedFile: input.correctedFile } : {}),
    warnings,
    recipe: { ...RECIPE, parameters: { edition } },
  };
}

/** In words that let anyone apply it: tone, then linear light, then terms, then matrix. */
function described({ kind, matrix, tone }: Correction) {
  return {
    space: "linear light, sRGB primaries, D65; in and out",
    kind,
    tone,
    terms: TERMS[kind],
    matrix,
  };
}

/** A clear difference between editions: well above what patches left out in turn make it waver. */
const EDITION_LEAD = 0.2;

function editionWarnings(
  asked: ChartEdition | undefined,
  edition: ChartEdition,
  measured: MeasuredChart,
  other: () => ReturnType<typeof measureChart>,
): string[] {
  if (asked) return [];
  const said = `the chart's edition was not given: values of charts made ${edition === "after-2014" ? "since" : "before"} November 2014 were used`;
  const measuredOther = other();
  const fitsBetter =
    !("reason" in measuredOther) &&
    measuredOther.crossValidated.mean < measured.crossValidated.mean - EDITION_LEAD;
  return [fitsBetter ? `${said}, but the other edition fits better` : said];
}

function patchWarnings(patches: readonly MeasuredPatch[]): string[] {
  const reasons = ["burnt out", "a channel at zero", "covered or in glare", "outside the picture"] as const;
  return reasons.flatMap((reason) => {
    const names = patches.filter((p) => p.leftOut === reason).map((p) => p.name);
    return names.length > 0 ? [`left out as ${reason}: ${names.join(", ")}`] : [];
  });
}

/** Fewer patches than this leave most colours to be guessed from few. */
const FEW_PATCHES = 14;
/** A stop is what a photographer would correct at the flash. */
const MAX_STOPS = 1;
/** 15 % is a fifth of a stop, the step below which nobody moves a light. */
const MAX_FALLOFF = 0.15;
/** Genuine charts in even light stay near 2; a printed copy or mixed light is at 4 and more. */
const POOR_FIT = 3.5;

function lightWarnings(stops: number | null, falloff: number, measured: MeasuredChart): string[] {
  const warnings: string[] = [];
  const used = measured.patches.filter((patch) => patch.leftOut === null).length;
  if (used < FEW_PATCHES)
    warnings.push(`only ${used} of 24 patches could be used: take the correction as a rough one`);
  if (stops !== null && Math.abs(stops) > MAX_STOPS) {
    const amount = Math.abs(stops).toFixed(1);
    warnings.push(`the chart is ${amount} stops too ${stops > 0 ? "bright" : "dark"}`);
  }
  if (falloff > MAX_FALLOFF) {
    warnings.push(
      `the light changes by ${Math.round(100 * falloff)} % over the chart; the correction leaves that`,
    );
  }
  if (measured.crossValidated.mean > POOR_FIT) {
    warnings.push(
      "the colours do not follow the chart's published values well: mixed light, glare, or a copy that is not the genuine chart",
    );
  }
  return warnings;
}
