import { readFile, stat } from "node:fs/promises";
import type {
  ChartEdition,
  ChartValues,
  ColourAnswer,
  GreyCardAnswer,
  GreyCardInput,
  MatchAnswer,
  MatchColourInput,
  PicturePool,
} from "@samescale/picture";
import { type Command, Option } from "commander";
import { answerPhotos } from "../frame/answer-photos.ts";
import { CommandFailure } from "../frame/failure.ts";
import { type JsonOption, jsonOption, numbers, photoArguments } from "../frame/options.ts";
import { pointsFrom } from "../frame/points-file.ts";
import { printable } from "../frame/printable.ts";
import { regionsFrom } from "../frame/regions-file.ts";
import { humanColour } from "./colour/human.ts";

interface Options extends JsonOption {
  readonly corrected?: string;
  readonly chartEdition?: ChartEdition;
  readonly chartValues?: string;
  readonly grey?: readonly [x: number, y: number];
  readonly greyBox?: readonly [x0: number, y0: number, x1: number, y1: number];
  readonly greyReflectance?: number | null;
  readonly like?: string;
  readonly points?: string;
  readonly leaveOutBaseline?: string;
  readonly leaveOutFollowup?: string;
}

/** `samescale colour`: corrects by the 24-patch chart, a grey card, or the baseline (contract in docs/commands.md). */
export function configure(command: Command, exit: (code: number) => void): void {
  jsonOption(photoArguments(command))
    .option("--corrected <out>", "write the corrected picture here (.jpg, .png or .tif; one photograph only)")
    .addOption(
      new Option(
        "--chart-edition <edition>",
        "which published values the chart has (without: after-2014, and a warning)",
      ).choices(["before-2014", "after-2014"]),
    )
    .option(
      "--chart-values <file>",
      "the chart's own measured values: CGATS text, 24 rows, D50, 2 degree observer",
    )
    .option(
      "--grey <x,y>",
      "no chart: a point on a grey card; white balance and exposure only",
      numbers("--grey", ["x", "y"]),
    )
    .option(
      "--grey-box <x0,y0,x1,y1>",
      "the same by a box on the card",
      numbers("--grey-box", ["x0", "y0", "x1", "y1"]),
    )
    .option(
      "--grey-reflectance <percent>",
      "of the grey card (without: 18, and a warning); neutral: leave the exposure as it is",
      reflectance,
    )
    .option(
      "--like <baseline>",
      "no chart: bring follow-ups to this picture's colours on unchanged skin; comparable, not correct",
    )
    .option("--points <file>", "with --like: points that a person matched, as for samescale align")
    .option(
      "--leave-out-baseline <file>",
      "with --like: regions of the baseline that must not count: as for samescale measure --outline",
    )
    .option("--leave-out-followup <file>", "the same of the follow-up (one follow-up only)")
    .action(async (photos: string[], options: Options) => {
      refuseMixtures(photos, options);
      const work = await workOf(options);
      exit(
        await answerPhotos({
          photos,
          json: options.json === true,
          run: work,
          human: (answer) => humanColour(answer as ColourAnswer | GreyCardAnswer | MatchAnswer),
        }),
      );
    });
}

type Work = (file: string, pool: PicturePool, signal: AbortSignal) => Promise<object>;

async function workOf(options: Options): Promise<Work> {
  const { corrected, chartEdition, greyReflectance, like, leaveOutBaseline, leaveOutFollowup } = options;
  const to = corrected === undefined ? {} : { correctedFile: corrected };
  const at: GreyCardInput["at"] | undefined = options.grey ?? options.greyBox;
  if (at) {
    const card = { at, ...to, ...(greyReflectance === undefined ? {} : { reflectance: greyReflectance }) };
    return (file, pool, signal) => pool.run("grey-card", { file, ...card }, signal);
  }
  if (like !== undefined) {
    const points = options.points === undefined ? undefined : await pointsFrom(options.points);
    const match: Omit<MatchColourInput, "file"> = {
      baseline: like,
      ...to,
      ...(points && { points }),
      ...(leaveOutBaseline !== undefined && {
        ignoreBaseline: await regionsFrom("--leave-out-baseline", leaveOutBaseline),
      }),
      ...(leaveOutFollowup !== undefined && {
        ignoreFollowup: await regionsFrom("--leave-out-followup", leaveOutFollowup),
      }),
    };
    return (file, pool, signal) => pool.run("match-colour", { file, ...match }, signal);
  }
  const chart = {
    ...to,
    ...(chartEdition === undefined ? {} : { chartEdition }),
    ...(options.chartValues === undefined ? {} : { chartValues: await chartValuesFrom(options.chartValues) }),
  };
  return (file, pool, signal) => pool.run("colour", { file, ...chart }, signal);
}

/** What cannot be meant together. */
function refuseMixtures(photos: readonly string[], options: Options): void {
  const { corrected, chartEdition, chartValues, grey, greyBox, greyReflectance, like, points } = options;
  const { leaveOutBaseline, leaveOutFollowup } = options;
  const one = photos.length === 1;
  const byChart = chartEdition !== undefined || chartValues !== undefined;
  const byCard = grey !== undefined || greyBox !== undefined;
  const wrong: readonly (readonly [boolean, string, string])[] = [
    [
      corrected !== undefined && !one,
      `--corrected: expected one photograph, received ${photos.length}`,
      "Correct one photograph per call, each under its own name.",
    ],
    [
      byCard && !one,
      `--grey: expected one photograph, received ${photos.length}`,
      "A point belongs to one photograph: one per call.",
    ],
    [
      grey !== undefined && greyBox !== undefined,
      "--grey and --grey-box were both given",
      "Give a point or a box on the card.",
    ],
    [
      greyReflectance !== undefined && !byCard,
      "--grey-reflectance was given without a grey card",
      "Say where the card lies with --grey or --grey-box.",
    ],
    [
      chartEdition !== undefined && chartValues !== undefined,
      "--chart-edition and --chart-values were both given",
      "Give the edition, or the chart's own values.",
    ],
    [
      Number(byChart) + Number(byCard) + Number(like !== undefined) > 1,
      "a chart, a grey card and a baseline were asked for together",
      "Correct by one of them.",
    ],
    [
      like === undefined && (leaveOutBaseline ?? leaveOutFollowup) !== undefined,
      "--leave-out-baseline or --leave-out-followup was given without --like",
      "Name the baseline with --like.",
    ],
    [
      leaveOutFollowup !== undefined && !one,
      `--leave-out-followup: expected one follow-up, received ${photos.length}`,
      "Regions belong to one photograph: one follow-up per call.",
    ],
    [
      points !== undefined && like === undefined,
      "--points was given without --like",
      "Name the baseline with --like.",
    ],
    [
      points !== undefined && !one,
      `--points: expected one follow-up, received ${photos.length}`,
      "Points belong to one pair of photographs: one follow-up per call.",
    ],
  ];
  for (const [is, message, help] of wrong) if (is) throw CommandFailure.badArguments(message, help);
}

function reflectance(text: string): number | null {
  if (text === "neutral") return null;
  const percent = text.trim() === "" ? Number.NaN : Number(text);
  if (percent >= 1 && percent <= 100) return percent / 100;
  throw CommandFailure.badArguments(
    `--grey-reflectance: expected 1 to 100 percent, or neutral, received "${text}"`,
    "Type for example --grey-reflectance 18.",
  );
}

/** More than any table of 24 patches; keeps a wrong file from filling memory. */
const MOST_BYTES = 1_000_000;

async function chartValuesFrom(file: string): Promise<ChartValues> {
  const { chartValuesFromText } = await import("@samescale/picture");
  try {
    const { size } = await stat(file);
    if (size > MOST_BYTES) {
      throw CommandFailure.badArguments(
        `--chart-values: ${size} bytes is no table of 24 patches: ${printable(file)}`,
        "Give the chart's CGATS text file.",
      );
    }
    return chartValuesFromText(await readFile(file, "utf8"), file);
  } catch (thrown) {
    throw thrown instanceof CommandFailure ? thrown : CommandFailure.from(thrown, file);
  }
}
