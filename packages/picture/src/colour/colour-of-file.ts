import { applyHomography, type Point } from "@samescale/geometry";
import type { XY } from "../answers.ts";
import type { ChartEdition, ChartFound, ColourAnswer } from "../colour-answers.ts";
import { bytesOfFile } from "../decode/bytes-of-file.ts";
import { type DecodedPicture, decodeBytes } from "../decode/decode.ts";
import type { ColourInput } from "../pool/tasks.ts";
import type { SeenChart } from "./chart/find-chart.ts";
import { locateChart } from "./chart/locate-chart.ts";
import { CHART_COLUMNS, CHART_ROWS, publishedLabD50 } from "./chart24.ts";
import { tryModel } from "./choose-correction.ts";
import { clippingOf } from "./clipping.ts";
import { correctedLabD50, described } from "./correction.ts";
import { deltaE00 } from "./delta-e00.ts";
import { judgementsOf } from "./judgements.ts";
import { exposureStops, lightOverChart } from "./light.ts";
import { type MeasuredChart, measureChart, pairsOf } from "./measure-chart.ts";
import { isUsed, type MeasuredPatch } from "./measured-patch.ts";
import { writeCorrected } from "./write-corrected.ts";

/** Enough to see a chart that is 1/20 of the picture's length; more only costs time. */
const SEARCH_SIDE_PX = 2400;

/** Charts have been made to these values for many years now; asked for by name the other is taken. */
const ASSUMED_EDITION: ChartEdition = "after-2014";

const RECIPE = { step: "colour", version: 2 } as const;

/**
 * Finds the 24-patch chart in a photograph, judges its light, fits the colour correction and, if asked, writes the
 * corrected picture. Without a chart, or with too little of it: not found, with the reason; nothing is written.
 *
 * @throws SamescaleError those of reading, decoding and `writeCorrected`
 */
export async function colourOfFile(input: ColourInput): Promise<ColourAnswer> {
  const { file } = input;
  const { bytes, sha256 } = await bytesOfFile(file);
  const picture = await decodeBytes(bytes, file, { maxSidePx: SEARCH_SIDE_PX });
  const answer = colourOfPicture(picture, input);
  if (!answer.found || input.correctedFile === undefined) return answer;
  const { corrected, warnings } = await writeCorrected(
    { file, bytes, sha256 },
    answer.correction,
    input.correctedFile,
    answer.recipe,
  );
  return {
    ...answer,
    correctedFile: input.correctedFile,
    corrected,
    warnings: [...answer.warnings, ...warnings],
  };
}

/** The same for a decoded picture, which is not written. */
export function colourOfPicture(
  picture: DecodedPicture,
  { file, chartEdition, chartValues }: Pick<ColourInput, "file" | "chartEdition" | "chartValues">,
): ColourAnswer {
  const located = locateChart(picture);
  if (!located.found) return { file, found: false, reason: located.reason };
  const { chart } = located;
  const assumed = chartEdition ?? ASSUMED_EDITION;
  const edition = chartValues ? "own-values" : assumed;
  const measured = measureChart(picture, chart, chartValues?.labD50 ?? publishedLabD50(assumed));
  if ("reason" in measured) {
    return { file, found: false, reason: `a chart is there, but it cannot be used: ${measured.reason}` };
  }
  const { patches } = measured;
  const stops = exposureStops(patches);
  const light = lightOverChart(patches, measured.correction);
  const clipping = clippingOf(picture);
  const judgements = judgementsOf(stops, clipping, light, patches);
  const correction = described(measured.correction);
  return {
    file,
    found: true,
    by: "chart",
    corners: cornersOf(chart, picture.scale),
    mirrored: chart.mirrored,
    edition,
    deltaE00: { before: measured.before, after: measured.after, crossValidated: measured.crossValidated },
    correction,
    exposureStops: stops,
    lightFalloff: light.falloff,
    lightColourChange: light.colourChange,
    clipping,
    judgements,
    patches: patches.map((patch) => ({
      name: patch.name,
      at: toFull(patch, picture.scale),
      deltaE00: patch.seen
        ? deltaE00(correctedLabD50(measured.correction, patch.seen.mean), patch.labD50)
        : null,
      leftOut: patch.leftOut,
    })),
    warnings: [
      ...picture.warnings,
      ...(chartValues?.remarks ?? (chartEdition ? [] : [editionWarning(assumed, measured)])),
      ...patchWarnings(patches),
      ...(chart.mirrored ? ["the chart is seen as in a mirror: this picture is mirrored"] : []),
      ...(located.others > 0 ? ["more than one chart is in the picture; the clearest was used"] : []),
      ...judgements.filter((judgement) => judgement.doubtful).map((judgement) => judgement.say),
      ...fitWarnings(measured),
    ],
    recipe: {
      ...RECIPE,
      parameters: {
        by: "chart",
        edition,
        ...(chartValues ? { labD50: chartValues.labD50 } : {}),
        correction,
      },
    },
  };
}

const toFull = (p: Point, scale: number): XY => [p.x / scale, p.y / scale];

function cornersOf(chart: SeenChart, scale: number): ChartFound["corners"] {
  const corner = (x: number, y: number) => toFull(applyHomography(chart.cellsToPx, { x, y }), scale);
  const [right, bottom] = [CHART_COLUMNS - 1, CHART_ROWS - 1];
  return [corner(0, 0), corner(right, 0), corner(right, bottom), corner(0, bottom)];
}

/** A clear difference between editions: well above what patches left out in turn make it waver. */
const EDITION_LEAD = 0.2;

function editionWarning(edition: ChartEdition, measured: MeasuredChart): string {
  const said = `the chart's edition was not given: values of charts made ${edition === "after-2014" ? "since" : "before"} November 2014 were used`;
  const others = publishedLabD50(edition === "after-2014" ? "before-2014" : "after-2014");
  const withOthers = measured.patches.map((patch, i) => ({ ...patch, labD50: others[i]! }));
  const fit = tryModel(measured.model, pairsOf(withOthers));
  return fit.crossValidated.mean < measured.crossValidated.mean - EDITION_LEAD
    ? `${said}, but the other edition fits better`
    : said;
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
/** Genuine charts in even light stay near 2; a printed copy or mixed light is at 4 and more. */
const POOR_FIT = 3.5;

function fitWarnings({ patches, crossValidated }: MeasuredChart): string[] {
  const used = patches.filter(isUsed).length;
  return [
    ...(used < FEW_PATCHES
      ? [`only ${used} of 24 patches could be used: take the correction as a rough one`]
      : []),
    ...(crossValidated.mean > POOR_FIT
      ? [
          "the colours do not follow the chart's reference values well: mixed light, shade, glare, or a copy that is not the genuine chart",
        ]
      : []),
  ];
}
