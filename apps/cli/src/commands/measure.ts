import { mkdtemp, readFile, rm, stat, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { buffer } from "node:stream/consumers";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import type {
  MeasureAnswer,
  MeasureInput,
  NotMeasured,
  OwnRepeats,
  RegionMeasurement,
} from "@samescale/picture";
import type { Command } from "commander";
import { answerPhotos } from "../frame/answer-photos.ts";
import { CommandFailure } from "../frame/failure.ts";
import { type JsonOption, jsonOption, numbers, positive } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";
import { type ScaleSaidOptions, scaleSaid, scaleSaidOptions } from "../frame/scale-said.ts";

interface MeasureOptions extends JsonOption, PartOptions, ScaleSaidOptions {
  readonly outline: string;
  readonly scale: string;
  readonly repeats?: string;
}

interface PartOptions {
  readonly headToToe?: readonly [number, number, number, number];
  readonly limbEdges?: readonly [number, number, number, number, number, number, number, number];
  readonly limbMiddle?: readonly [number, number, number, number];
  readonly limbGirthMm?: number;
  readonly curved?: boolean;
}

/** Larger than any outline or reading; a file of this size is something else. */
const MOST_BYTES = 64 * 2 ** 20;
const PNG = Buffer.from([0x89, 0x50, 0x4e, 0x47]);

/** `samescale measure PHOTO`: measures outlined regions by the scale in the picture. */
export function configure(command: Command, exit: (code: number) => void): void {
  scaleSaidOptions(jsonOption(command))
    .argument("<photo>", "the photograph (after -- where its name begins with a dash)")
    .requiredOption("--outline <file>", "regions as JSON, or a mask PNG; - reads standard input")
    .option("--scale <file>", "a line printed by samescale scale; auto reads the scale now", "auto")
    .option(
      "--head-to-toe <x0,y0,x1,y1>",
      "length along this line, width at right angles to it, as well",
      numbers("--head-to-toe", LINE),
    )
    .option(
      "--limb-edges <x0,y0,…,x3,y3>",
      "the part is a limb: two points on one of its edges, two on the other",
      numbers("--limb-edges", [...LINE, "x2", "y2", "x3", "y3"] as const),
    )
    .option(
      "--limb-middle <x0,y0,x1,y1>",
      "the part is a limb whose middle runs through these points; needs the girth",
      numbers("--limb-middle", LINE),
    )
    .option("--limb-girth-mm <mm>", "girth of the limb, measured with a tape", positive("--limb-girth-mm"))
    .option("--curved", "the part is curved, nobody knows how much: widen the intervals")
    .option("--repeats <file>", "the department's own repeats: a line printed by samescale repeats --json")
    .action(async (photo: string, options: MeasureOptions) => {
      const { json, outline, scale, repeats } = options;
      const said = partSaid(options);
      const ofScale = await scaleSaid(options);
      const [told] = Object.keys(ofScale);
      if (scale !== "auto" && told !== undefined) {
        throw CommandFailure.badArguments(
          "--scale: expected auto where something is said of the scale, received a reading",
          "Say it to samescale scale when it makes the reading, or leave --scale out.",
        );
      }
      if (outline === "-" && scale === "-") {
        throw CommandFailure.badArguments(
          "--outline and --scale: expected one of them from standard input, received both",
          "Write one of them to a file first.",
        );
      }
      const folder = await mkdtemp(join(tmpdir(), "samescale-"));
      try {
        exit(
          await answerPhotos({
            photos: [photo],
            json: json === true,
            run: async (file, pool, signal) =>
              await pool.run(
                "measure",
                {
                  file,
                  outline: await outlineFrom(outline, folder),
                  scale: await scaleFrom(scale),
                  ...(told !== undefined && { scaleSaid: ofScale }),
                  ...(repeats !== undefined && { ownRepeats: await repeatsFrom(repeats) }),
                  ...(said && { said }),
                },
                signal,
              ),
            human: (answer) => humanMeasure(answer as MeasureAnswer | NotMeasured),
          }),
        );
      } finally {
        await rm(folder, { recursive: true, force: true });
      }
    });
}

const LINE = ["x0", "y0", "x1", "y1"] as const;

function partSaid(options: PartOptions): MeasureInput["said"] | null {
  const { headToToe, limbEdges, limbMiddle, limbGirthMm, curved } = options;
  if (limbMiddle && !limbGirthMm) {
    throw CommandFailure.badArguments(
      "--limb-middle: expected --limb-girth-mm with it",
      "Measure the limb's girth with a tape, or mark its two edges with --limb-edges instead.",
    );
  }
  if (limbGirthMm && !limbMiddle && !limbEdges) {
    throw CommandFailure.badArguments(
      "--limb-girth-mm: expected --limb-middle or --limb-edges with it",
      "Say where the limb runs in the picture.",
    );
  }
  const limb = {
    ...(limbEdges && { edges: [lineOf(limbEdges, 0), lineOf(limbEdges, 4)] as const }),
    ...(limbMiddle && { middle: lineOf(limbMiddle, 0) }),
    ...(limbGirthMm && { girthMm: limbGirthMm }),
  };
  const said = {
    ...(headToToe && { headToToe: lineOf(headToToe, 0) }),
    ...((limbEdges || limbMiddle) && { limb }),
    ...(curved && { isCurved: true }),
  };
  return Object.keys(said).length > 0 ? said : null;
}

function lineOf(values: readonly number[], from: number) {
  const [x0, y0, x1, y1] = values.slice(from) as [number, number, number, number];
  return [
    [x0, y0],
    [x1, y1],
  ] as const;
}

async function outlineFrom(name: string, folder: string): Promise<MeasureInput["outline"]> {
  const bytes = await bytesFrom(name);
  const where = name === "-" ? "standard input" : name;
  if (bytes.subarray(0, PNG.length).equals(PNG)) {
    if (name !== "-") return { maskFile: name };
    const maskFile = join(folder, "mask.png");
    await writeFile(maskFile, bytes);
    return { maskFile };
  }
  const { regionsFromJson } = await import("@samescale/picture");
  return regionsFromJson(parsed(bytes, where, "OUTLINE_NOT_UNDERSTOOD"), where);
}

async function scaleFrom(name: string): Promise<MeasureInput["scale"]> {
  if (name === "auto") return null;
  const where = name === "-" ? "standard input" : name;
  const { scaleFromJson } = await import("@samescale/picture");
  return scaleFromJson(parsed(await bytesFrom(name), where, "SCALE_READING_NOT_UNDERSTOOD"), where);
}

async function repeatsFrom(name: string): Promise<OwnRepeats> {
  const { ownRepeatsFromJson } = await import("@samescale/picture");
  return ownRepeatsFromJson(parsed(await bytesFrom(name), name, "REPEATS_NOT_UNDERSTOOD"), name);
}

async function bytesFrom(name: string): Promise<Buffer> {
  if (name === "-") return await buffer(process.stdin);
  try {
    if ((await stat(name)).size <= MOST_BYTES) return await readFile(name);
  } catch (thrown) {
    throw asSamescaleError(thrown, name);
  }
  throw tooLarge(name);
}

const tooLarge = (name: string) =>
  new SamescaleError(
    "INPUT_TOO_LARGE",
    `Expected at most ${MOST_BYTES / 2 ** 20} MiB: ${name}`,
    "Check that this is an outline or a reading; a mask of this size can be saved with compression.",
  );

function parsed(
  bytes: Buffer,
  where: string,
  code: "OUTLINE_NOT_UNDERSTOOD" | "SCALE_READING_NOT_UNDERSTOOD" | "REPEATS_NOT_UNDERSTOOD",
) {
  try {
    return JSON.parse(bytes.toString("utf8")) as unknown;
  } catch (thrown) {
    throw new SamescaleError(
      code,
      `${where}: it is not JSON`,
      "Give one JSON value, such as a line that samescale printed with --json.",
      { cause: thrown },
    );
  }
}

const METHODS = {
  plane: "in the plane of the scale",
  "local-scale": "by the scale's own px/mm",
} as const;

function humanMeasure(answer: MeasureAnswer | NotMeasured): string {
  const file = printable(answer.file);
  if ("reason" in answer) return `${file}: not measured. ${printable(answer.reason)}`;
  const lines = answer.regions.map(humanRegion);
  if (answer.total) lines.push(`  together ${areaBetween(answer.total.areaMm2)}`);
  const largest = answer.budget.slice(0, 3).map(({ source, u }) => `${source} ${(100 * u).toFixed(1)} %`);
  return [
    `${file}: measured ${METHODS[answer.method]}`,
    ...lines,
    `  most of the doubt in the area: ${largest.join(", ")}`,
    ...answer.warnings.map((warning) => `  ! ${printable(warning)}`),
  ].join("\n");
}

function humanRegion(region: RegionMeasurement, i: number): string {
  const { areaMm2, lengthMm, widthMm, perimeterMm, headToToe } = region;
  const axial = headToToe
    ? `, head to toe ${plusMinus(headToToe.lengthMm)} mm x across ${plusMinus(headToToe.widthMm)} mm`
    : "";
  return `  region ${i + 1}: area ${areaBetween(areaMm2)}, length ${plusMinus(lengthMm)} mm x width ${plusMinus(widthMm)} mm, perimeter ${plusMinus(perimeterMm)} mm${axial}`;
}

function areaBetween({ value, u95 }: RegionMeasurement["areaMm2"]): string {
  return `${area(value)} (95 %: ${area(Math.max(0, value - u95))} to ${area(value + u95)})`;
}

/** Square millimetres below 1 cm², square centimetres above, as wounds are written down. */
const area = (mm2: number) => (mm2 < 100 ? `${mm2.toFixed(1)} mm²` : `${(mm2 / 100).toFixed(2)} cm²`);

function plusMinus({ value, u95 }: { readonly value: number; readonly u95: number }): string {
  const digits = u95 >= 1 ? 0 : u95 >= 0.1 ? 1 : 2;
  return `${value.toFixed(digits)} ± ${u95.toFixed(digits)}`;
}
