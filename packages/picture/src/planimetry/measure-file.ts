import type { MeasureAnswer, NotMeasured, ScaleFound } from "../answers.ts";
import { bytesOfFile } from "../decode/bytes-of-file.ts";
import { decodePicture } from "../decode/decode.ts";
import type { MeasureInput } from "../pool/tasks.ts";
import { scaleOfFile } from "../scale/scale-of-file.ts";
import { LARGEST_LEAN_DEG } from "./lean-effect.ts";
import { measureRegions, SMOOTHING_MM } from "./measure-regions.ts";
import { checkedRegions } from "./regions-from-json.ts";
import { regionsOfMaskFile } from "./regions-of-mask.ts";
import { DISTORTION_LIMIT, HEIGHT_LIMIT_MM } from "./sources.ts";

const VERSION = 3;

/** Measures drawn regions of one photograph by the scale in it, or says why that cannot be done. */
export async function measureFile(input: MeasureInput): Promise<MeasureAnswer | NotMeasured> {
  const { file } = input;
  const not = (reason: string): NotMeasured => ({ file, regions: [], reason });
  const { fullWidthPx: widthPx, fullHeightPx: heightPx } = await decodePicture(file, { maxSidePx: 64 });
  const drawn =
    "maskFile" in input.outline
      ? await regionsOfMaskFile(input.outline.maskFile, { widthPx, heightPx })
      : input.outline;
  if (drawn.length === 0) return not("There is nothing inside the outline.");
  const regions = checkedRegions(drawn, { widthPx, heightPx });
  const reading = input.scale ?? (await scaleOfFile({ ...input.scaleSaid, file }));
  if (input.scale?.sha256 && input.scale.sha256 !== (await bytesOfFile(file)).sha256) {
    return not(
      `The scale was read in another file (${input.scale.file}): read it in this one, with samescale scale.`,
    );
  }
  if (!reading.found) return not(`No scale: ${reading.reason}`);
  if (reading.widthPx !== widthPx || reading.heightPx !== heightPx) {
    return not(
      `The scale was read in another picture: of ${reading.widthPx} x ${reading.heightPx} px, this one has ${widthPx} x ${heightPx}.`,
    );
  }
  const said = input.said ?? {};
  const found = measureRegions(regions, reading, said, input.ownRepeats);
  if ("reason" in found) return not(found.reason);
  const { warnings, ...measured } = found;
  return {
    file,
    ...measured,
    warnings: [...reading.warnings, ...warnings],
    recipe: {
      step: "measure",
      version: VERSION,
      parameters: {
        largestLeanDeg: LARGEST_LEAN_DEG,
        heightLimitMm: HEIGHT_LIMIT_MM,
        distortionLimit: DISTORTION_LIMIT,
        smoothingMm: SMOOTHING_MM,
        ...(input.said && { said }),
        ...(input.ownRepeats && { ownRepeats: input.ownRepeats }),
        scale: recipeOf(reading),
      },
    },
  };
}

const recipeOf = ({ file, recipe }: ScaleFound) => ({ file, recipe: recipe ?? null });
