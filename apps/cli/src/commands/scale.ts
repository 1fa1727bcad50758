import { parseScaleId } from "@samescale/marker";
import {
  type KnownScale,
  type ReadScale,
  SCALE_KINDS,
  SCALE_MATERIALS,
  type ScaleAnswer,
  type ScaleFound,
  type ScaleKind,
  type ScaleMaterial,
} from "@samescale/picture";
import { type Command, Option } from "commander";
import { answerPhotos } from "../frame/answer-photos.ts";
import { CommandFailure } from "../frame/failure.ts";
import { between, type JsonOption, jsonOption, numbers, photoArguments, positive } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";

interface ScaleOptions extends JsonOption {
  readonly near?: [number, number];
  readonly twoPoints?: [number, number, number, number, number];
  readonly scaleKind?: ScaleKind;
  readonly scaleMaterial?: ScaleMaterial;
  readonly calibrations?: string;
  readonly scaleId?: string;
  readonly scaleHeightMm?: number;
  readonly sensorWidthMm?: number;
}

/** Further off, nothing measured on the scale holds for the subject. */
const MOST_HEIGHT_MM = 100;

/** `samescale scale PHOTO…`: reads the scale in each photograph. */
export function configure(command: Command, exit: (code: number) => void): void {
  jsonOption(photoArguments(command))
    .option("--near <x,y>", "look close to this point of the upright picture", numbers("--near", ["x", "y"]))
    .option(
      "--two-points <x0,y0,x1,y1,mm>",
      "two points that you marked on the scale, and the millimetres between them",
      numbers("--two-points", ["x0", "y0", "x1", "y1", "mm"]),
    )
    .addOption(
      new Option(
        "--scale-kind <kind>",
        "what you know of the scale: the division of its finest graduations, or the length of its blocks",
      ).choices(SCALE_KINDS),
    )
    .addOption(
      new Option(
        "--scale-material <material>",
        "what it is made of, class-1 to 3 as marked on a rule: how far its length is trusted",
      ).choices(SCALE_MATERIALS),
    )
    .option("--calibrations <file>", "the department's calibration record: a scale with a code is read by it")
    .option("--scale-id <id>", "which scale of that record lies in the picture, where it has no code")
    .option(
      "--scale-height-mm <mm>",
      "how far the scale lay above the subject's surface; below: --scale-height-mm=-5",
      between("--scale-height-mm", -MOST_HEIGHT_MM, MOST_HEIGHT_MM),
    )
    .option("--sensor-width-mm <mm>", "width of the sensor (long side)", positive("--sensor-width-mm"))
    .action(async (photos: string[], options: ScaleOptions) => {
      const { near, scaleKind, scaleMaterial, scaleHeightMm, sensorWidthMm } = options;
      const twoPoints = options.twoPoints && pointsOf(options.twoPoints);
      const known = await knownScales(options);
      exit(
        await answerPhotos({
          photos,
          json: options.json === true,
          run: (file, pool, signal) =>
            pool.run(
              "scale",
              {
                file,
                ...(near && { near }),
                ...(twoPoints && { twoPoints }),
                ...(scaleKind && { kind: scaleKind }),
                ...(scaleMaterial && { material: scaleMaterial }),
                ...known,
                ...(scaleHeightMm && { scaleHeightMm }),
                ...(sensorWidthMm !== undefined && { sensorWidthMm }),
              },
              signal,
            ),
          human: (answer) => humanScale(answer as ScaleAnswer),
        }),
      );
    });
}

/** What the department knows of its scales, and which one a person names. */
async function knownScales({
  calibrations: file,
  scaleId: typed,
}: ScaleOptions): Promise<{ readonly calibrations?: readonly KnownScale[]; readonly scaleId?: string }> {
  if (file === undefined) {
    if (typed === undefined) return {};
    throw CommandFailure.badArguments(
      "--scale-id: expected with --calibrations, which says how long that scale is",
      "Add --calibrations calibrated-scales.json.",
    );
  }
  const [{ readCalibratedScales }, { scaleKnown }] = await Promise.all([
    import("@samescale/desk"),
    import("@samescale/practice"),
  ]);
  const calibrations = (await readCalibratedScales(file)).scales.map(scaleKnown);
  if (typed === undefined) return { calibrations };
  const scaleId = parseScaleId(typed)?.id ?? typed;
  if (calibrations.some(({ id }) => id === scaleId)) return { calibrations, scaleId };
  throw CommandFailure.badArguments(
    `--scale-id: ${printable(scaleId.slice(0, 60))} is not in ${printable(file)}`,
    "Check the id, or record the scale with samescale calibrate-scale.",
  );
}

function pointsOf([x0, y0, x1, y1, lengthMm]: readonly [number, number, number, number, number]) {
  if (!(lengthMm > 0) || (x0 === x1 && y0 === y1)) {
    throw CommandFailure.badArguments(
      `--two-points: expected two different points and a length above 0, received "${[x0, y0, x1, y1, lengthMm]}"`,
      "Type for example --two-points 812,440,1612,452,50 for 50 mm between the two points.",
    );
  }
  return { from: [x0, y0], to: [x1, y1], lengthMm } as const;
}

/** Where it was not the graduations themselves. */
const TOLD: Readonly<Record<NonNullable<ReadScale["unitFrom"]>, string>> = {
  graduations: "",
  numerals: " (by its numerals)",
  "two-sided": " (by its other side)",
  blocks: " (by the blocks beside)",
  code: " (by its code)",
  person: " (as you said)",
};

const told = (from: ReadScale["unitFrom"]) => (from ? TOLD[from] : "");

/** For a person: what was reached, how sure, and what to do. */
function humanScale(answer: ScaleAnswer): string {
  const file = printable(answer.file);
  if (!answer.found) return `${file}: no scale read. ${answer.reason}`;
  const lines = [`${file}: ${ratioInWords(answer)}`];
  for (const { kind, id, unit, unitFrom, pxPerMm, coverageMm, ticks, at, axisDeg } of answer.scales) {
    const figure = plusMinus(pxPerMm.value, pxPerMm.u95);
    lines.push(
      `  ${figure} px/mm: ${kind === "L" ? "leg of an L-shaped scale" : `${kind} scale`}${id ? ` ${printable(id)}` : ""} in ${unit}${told(unitFrom)}, ${ticks.length} graduations over ${coverageMm.toFixed(0)} mm, at ${at.x.toFixed(0)},${at.y.toFixed(0)}, running at ${Math.round(axisDeg) + 0}°`,
    );
  }
  if (answer.ratioFrom)
    lines.push(`  ${answer.reproductionRatio ? "ratio: " : ""}${printable(answer.ratioFrom)}`);
  for (const warning of answer.warnings) lines.push(`  ! ${printable(warning)}`);
  return lines.join("\n");
}

function ratioInWords({ reproductionRatio, plane }: ScaleFound): string {
  const ratio = reproductionRatio
    ? ratioText(reproductionRatio.value, reproductionRatio.u95)
    : "ratio not known";
  const lean = plane
    ? `, leans ${plane.tiltDeg.value.toFixed(0)}° ± ${Math.max(1, plane.tiltDeg.u95).toFixed(0)}°`
    : "";
  return ratio + lean;
}

/** 0.25 becomes 1:4, 2 becomes 2:1. */
function ratioText(magnification: number, u95: number): string {
  const relative = u95 / magnification;
  if (magnification > 1) return `(${plusMinus(magnification, u95)}):1`;
  const denominator = 1 / magnification;
  return `1:${plusMinus(denominator, denominator * relative)}`;
}

/** Both with the digits that the uncertainty supports: two of its own. */
function plusMinus(value: number, u95: number): string {
  const digits = Math.min(6, Math.max(0, 1 - Math.floor(Math.log10(Math.max(u95, 1e-6)))));
  return `${value.toFixed(digits)} ± ${u95.toFixed(digits)}`;
}
