import { parseScaleId } from "@samescale/marker";
import {
  type KnownScale,
  SCALE_KINDS,
  SCALE_MATERIALS,
  type ScaleInput,
  type ScaleKind,
  type ScaleMaterial,
} from "@samescale/picture";
import { type Command, Option } from "commander";
import { CommandFailure } from "./failure.ts";
import { between, numbers, positive } from "./options.ts";
import { printable } from "./printable.ts";

/** What a person may say of the scale in the picture, on the command line. */
export interface ScaleSaidOptions {
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

export function scaleSaidOptions(command: Command): Command {
  return command
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
    .option("--sensor-width-mm <mm>", "width of the sensor (long side)", positive("--sensor-width-mm"));
}

/** The same as the reading takes it. */
export async function scaleSaid(options: ScaleSaidOptions): Promise<Omit<ScaleInput, "file">> {
  const { near, scaleKind, scaleMaterial, scaleHeightMm, sensorWidthMm } = options;
  const twoPoints = options.twoPoints && pointsOf(options.twoPoints);
  return {
    ...(near && { near }),
    ...(twoPoints && { twoPoints }),
    ...(scaleKind && { kind: scaleKind }),
    ...(scaleMaterial && { material: scaleMaterial }),
    ...(await knownScales(options)),
    ...(scaleHeightMm && { scaleHeightMm }),
    ...(sensorWidthMm !== undefined && { sensorWidthMm }),
  };
}

/** What the department knows of its scales, and which one a person names. */
async function knownScales({
  calibrations: file,
  scaleId: typed,
}: ScaleSaidOptions): Promise<{ readonly calibrations?: readonly KnownScale[]; readonly scaleId?: string }> {
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
