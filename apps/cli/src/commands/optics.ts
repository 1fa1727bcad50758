import { SamescaleError } from "@samescale/errors";
import {
  type CarriedRatio,
  type CloseUpFigures,
  type CloseUpSetup,
  carryRatio,
  closeUpFigures,
  FRAME_36X24,
  formatRatio,
  formatSensorSize,
  nearestMarkedFNumber,
  parseDecimal,
  parseRatio,
  parseSensorSize,
  type SensorSize,
} from "@samescale/optics";
import type { Command } from "commander";
import { CommandFailure } from "../frame/failure.ts";

interface Options {
  readonly focalMm: number;
  readonly ratio: number;
  readonly fNumber?: number;
  readonly fNumberShown?: "marked" | "effective";
  readonly sensor?: SensorSize;
  readonly pupilRatio?: number;
  readonly focusing?: "extension" | "internal";
  readonly cocMm?: number;
  readonly depthMm?: number;
  readonly hiatusMm?: number;
  readonly frontMm?: number;
  readonly guideNumber?: number;
  readonly iso: number;
  readonly json?: true;
}

/** `samescale optics`: the figures of one close-up (contract in docs/commands.md). No rules of its own. */
export function configure(command: Command): void {
  command
    .requiredOption("--focal-mm <mm>", "focal length", between("--focal-mm", 1, 5000, "mm", "100"))
    .requiredOption("--ratio <ratio>", "reproduction ratio: 1:10, 2:1 or 0.1", ratio)
    .option(
      "--f-number <number>",
      "aperture, 16 for f/16 (without: the balanced one)",
      between("--f-number", 0.5, 1000, "", "16"),
    )
    .option(
      "--f-number-shown <which>",
      "which f-number the camera shows: marked or effective",
      oneOf("--f-number-shown", ["marked", "effective"]),
    )
    .option("--sensor <mm>", "sensor, width x height in mm (without: 36x24)", sensor)
    .option(
      "--pupil-ratio <ratio>",
      "exit pupil over entrance pupil (without: 1)",
      between("--pupil-ratio", 0.05, 20, "", "0.8"),
    )
    .option(
      "--focusing <how>",
      "how the lens focuses: extension (it moves as a whole, tubes, bellows) or internal",
      oneOf("--focusing", ["extension", "internal"]),
    )
    .option(
      "--coc-mm <mm>",
      "circle of confusion (without: 0.030 mm at 36x24, by crop factor)",
      between("--coc-mm", 0.0001, 1, "mm", "0.03"),
    )
    .option(
      "--depth-mm <mm>",
      "depth that is to be sharp, to balance the aperture for",
      between("--depth-mm", 0.001, 100_000, "mm", "30"),
    )
    .option(
      "--hiatus-mm <mm>",
      "separation of the principal planes, may be negative",
      between("--hiatus-mm", -1000, 1000, "mm", "5"),
    )
    .option(
      "--front-mm <mm>",
      "front principal plane to the front of the lens, negative when the plane lies before it",
      between("--front-mm", -1000, 5000, "mm", "60"),
    )
    .option(
      "--guide-number <m>",
      "guide number of the flash, in metres at ISO 100",
      between("--guide-number", 0.1, 1000, "m", "32"),
    )
    .option("--iso <iso>", "sensitivity in use", between("--iso", 1, 10_000_000, "", "200"), 100)
    .option("--json", "one JSON object on one line")
    .action((options: Options) => {
      const figures = figuresOf(options);
      const carried = carriedTo(options);
      const answer = options.json
        ? JSON.stringify(contractOf(options, figures, carried))
        : tableOf(options, figures, carried);
      process.stdout.write(`${answer}\n`);
    });
}

function figuresOf(options: Options): CloseUpFigures {
  const setup: CloseUpSetup = {
    focalMm: options.focalMm,
    magnification: options.ratio,
    sensor: options.sensor ?? FRAME_36X24,
    fNumber: options.fNumber ?? null,
    fNumberShown: options.fNumberShown ?? "unknown",
    pupilRatio: options.pupilRatio ?? null,
    focusing: options.focusing ?? "unknown",
    cocMm: options.cocMm ?? null,
    wantedDepthMm: options.depthMm ?? null,
    hiatusMm: options.hiatusMm ?? null,
    frontMm: options.frontMm ?? null,
    guideNumberM: options.guideNumber ?? null,
    iso: options.iso,
  };
  return asBadArguments("samescale optics", () => closeUpFigures(setup));
}

/** Both ways of carrying the ratio, where the sensor is not the frame that ratios are named for. */
function carriedTo({ ratio: nominal, sensor: to = FRAME_36X24 }: Options): readonly CarriedRatio[] {
  const sides = [to.widthMm, to.heightMm].sort((a, b) => b - a);
  if (sides[0] === FRAME_36X24.widthMm && sides[1] === FRAME_36X24.heightMm) return [];
  return [
    carryRatio(nominal, to, { keep: "field", side: "long" }),
    carryRatio(nominal, to, { keep: "ratio" }),
  ];
}

/** The contract's fields in its order, then what goes beyond it. JSON has no infinity: null, and `infinite` says so. */
function contractOf(options: Options, figures: CloseUpFigures, carried: readonly CarriedRatio[]): object {
  const { depthOfField: depth, workingDistance: working, best, flash } = figures;
  const { widthMm, heightMm } = options.sensor ?? FRAME_36X24;
  return {
    magnification: options.ratio,
    fieldMm: { width: figures.field.widthMm, height: figures.field.heightMm },
    objectDistanceMm: figures.objectDistanceMm,
    imageDistanceMm: figures.imageDistanceMm,
    workingDistanceMm: working.known ? working.distanceMm : null,
    effectiveFNumber: figures.effectiveFNumber,
    exposureFactorStops: figures.exposureFactorStops,
    depthOfFieldMm: {
      near: depth.nearMm,
      far: finiteOrNull(depth.farMm),
      total: finiteOrNull(depth.totalMm),
      inFront: depth.inFrontMm,
      behind: finiteOrNull(depth.behindMm),
      infinite: depth.totalMm === Number.POSITIVE_INFINITY,
    },
    airyDiskMm: figures.airyDiscMm,
    bestFNumber: best.fNumber,
    flashDistanceMm: flash === null ? null : flash.distanceMm,
    ratio: formatRatio(options.ratio),
    focalMm: options.focalMm,
    sensorMm: { width: widthMm, height: heightMm },
    fNumber: figures.fNumber,
    fNumberFrom: figures.fNumberFrom,
    exposureFactor: figures.exposureFactor,
    extensionMm: figures.extensionMm,
    objectToImageMm: figures.objectToImageMm,
    workingDistanceReason: working.known ? null : working.reason,
    cocMm: figures.cocMm,
    cocFrom: figures.cocFrom,
    depthOfFieldForm: depth.form,
    depthOfFieldWhy: depth.why,
    hyperfocalMm: figures.hyperfocalMm,
    best: {
      for: figures.bestFor,
      depthMm: finiteOrNull(best.depthMm),
      blurMm: best.blurMm,
      sharpFNumbers: best.sharpRange && {
        from: best.sharpRange.fromFNumber,
        to: best.sharpRange.toFNumber,
      },
    },
    flash,
    carriedFrom36x24: carried.map((one) => ({
      keeps: one.way.keep,
      magnification: one.magnification,
      says: one.says,
    })),
    warnings: figures.warnings.map((warning) => warning.says),
  };
}

/** The same for a person: one line per question that the photographer has, in the order of setting up. */
function tableOf(options: Options, figures: CloseUpFigures, carried: readonly CarriedRatio[]): string {
  const { depthOfField: depth, workingDistance: working, flash } = figures;
  const rows: [string, string][] = [
    ["Field", `${mm(figures.field.widthMm)} × ${mm(figures.field.heightMm)} mm`],
    [
      "Front of lens to subject",
      working.known ? `${mm(working.distanceMm)} mm` : "not known, see --front-mm",
    ],
    ["Principal plane to subject", `${mm(figures.objectDistanceMm)} mm`],
    [
      "Sensor to subject",
      figures.objectToImageMm === null
        ? `${mm(figures.objectDistanceMm + figures.imageDistanceMm)} mm, plus the hiatus (see --hiatus-mm)`
        : `${mm(figures.objectToImageMm)} mm`,
    ],
    [
      "Aperture",
      `${stop(figures.fNumber)}${figures.fNumberFrom === "given" ? "" : " (balanced)"}, works as ` +
        `f/${digits(figures.effectiveFNumber)}: ${figures.exposureFactorStops.toFixed(1)} stops less light`,
    ],
    ["Depth of field", depthText(depth)],
    ["", `for a blur of ${digits(figures.cocMm)} mm on the sensor, diffraction not counted`],
    ["Airy disc", `${digits(figures.airyDiscMm)} mm on the sensor`],
    ["Best aperture", bestText(figures)],
  ];
  if (flash !== null) {
    rows.push(["Flash to subject", `${mm(flash.distanceMm)} mm; ${zoomText(flash.longestCoveringZoomMm)}`]);
  }
  const width = Math.max(...rows.map(([name]) => name.length)) + 2;
  const title = `${formatRatio(options.ratio)}, ${options.focalMm} mm lens, sensor ${formatSensorSize(options.sensor ?? FRAME_36X24)}`;
  const notes = [...carried.map((one) => one.says), ...figures.warnings.map((warning) => warning.says)];
  return [
    title,
    "",
    ...rows.map(([name, value]) => `  ${name.padEnd(width)}${value}`),
    ...(notes.length > 0 ? ["", ...notes.flatMap((note) => wrapped(note))] : []),
  ].join("\n");
}

function depthText(depth: CloseUpFigures["depthOfField"]): string {
  if (depth.totalMm === Number.POSITIVE_INFINITY)
    return `${mm(depth.inFrontMm)} mm in front, infinite behind`;
  return `${mm(depth.totalMm)} mm: ${mm(depth.inFrontMm)} in front, ${mm(depth.behindMm)} behind`;
}

function bestText({ best, bestFor, cocMm }: CloseUpFigures): string {
  const depth = best.depthMm === Number.POSITIVE_INFINITY ? "to infinity" : `${mm(best.depthMm)} mm`;
  if (bestFor === "greatest sharp depth") {
    return `${stop(best.fNumber)} for the greatest depth, ${depth} with diffraction counted`;
  }
  if (best.sharpRange === null) {
    return (
      `${stop(best.fNumber)} for ${depth}, the least bad: with diffraction a blur of ` +
      `${digits(best.blurMm)} mm, ${digits(cocMm)} mm allowed`
    );
  }
  const { fromFNumber, toFNumber } = best.sharpRange;
  return `${stop(best.fNumber)} for ${depth}; sharp from f/${digits(fromFNumber)} to f/${digits(toFNumber)}`;
}

/** A note as lines that fit a usual terminal. */
function wrapped(note: string): string[] {
  const lines: string[] = [];
  let line = "-";
  for (const word of note.split(" ")) {
    if (line.length + 1 + word.length > 96) {
      lines.push(line);
      line = " ";
    }
    line += ` ${word}`;
  }
  return [...lines, line];
}

/** Zoom heads end at about 200 mm (common practice): a longer setting that would cover is any setting. */
function zoomText(longestMm: number): string {
  return longestMm >= 200 ? "any zoom setting covers" : `zoom head at ${mm(longestMm)} mm or wider`;
}

/** Whole millimetres from 100 up, tenths below: finer than anyone can set a camera up. */
const mm = (value: number): string => {
  if (value >= 100) return String(Math.round(value));
  return value >= 1 ? String(Number(value.toFixed(1))) : String(Number(value.toPrecision(2)));
};
const digits = (value: number): string => String(Number(value.toPrecision(3)));
const stop = (fNumber: number): string => `f/${nearestMarkedFNumber(fNumber) ?? digits(fNumber)}`;
const finiteOrNull = (value: number | null): number | null => (Number.isFinite(value) ? value : null);

function ratio(typed: string): number {
  const magnification = asBadArguments("--ratio", () => parseRatio(typed));
  if (magnification >= 0.0001 && magnification <= 100) return magnification;
  throw CommandFailure.badArguments(
    `--ratio: expected 1:10000 to 100:1, received "${typed}"`,
    "Type size on the sensor : size of the subject, for example --ratio 1:10.",
  );
}

function sensor(typed: string): SensorSize {
  const size = asBadArguments("--sensor", () => parseSensorSize(typed));
  if (Math.min(size.widthMm, size.heightMm) >= 1 && Math.max(size.widthMm, size.heightMm) <= 500) return size;
  throw CommandFailure.badArguments(
    `--sensor: expected sides from 1 to 500 mm, received "${typed}"`,
    "Type width and height in millimetres, for example --sensor 36x24.",
  );
}

/** A parser for a number within what a camera can be; anything else is refused by name. */
function between(flag: string, from: number, to: number, unit: string, example: string) {
  return (typed: string): number => {
    const value = parseDecimal(typed);
    if (value !== null && value >= from && value <= to) return value;
    throw CommandFailure.badArguments(
      `${flag}: expected a number from ${from} to ${to}${unit && ` ${unit}`}, received "${typed}"`,
      `Type for example ${flag} ${example}.`,
    );
  };
}

function oneOf(flag: string, words: readonly string[]) {
  return (typed: string): string => {
    if (words.includes(typed)) return typed;
    throw CommandFailure.badArguments(
      `${flag}: expected ${words.join(" or ")}, received "${typed}"`,
      `Type for example ${flag} ${words[0]}.`,
    );
  };
}

/** What the library refuses was typed here, so it is a bad argument and not a fault of a file. */
function asBadArguments<T>(subject: string, compute: () => T): T {
  try {
    return compute();
  } catch (thrown) {
    if (!(thrown instanceof SamescaleError)) throw thrown;
    throw CommandFailure.badArguments(`${subject}: ${thrown.message}`, thrown.help);
  }
}
