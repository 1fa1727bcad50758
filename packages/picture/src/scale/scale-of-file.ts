import type { InfoAnswer, ScaleAnswer } from "../answers.ts";
import { decodePicture, wholeGreyOf } from "../decode/decode.ts";
import { infoOfFile } from "../info/info-of-file.ts";
import type { ScaleInput } from "../pool/tasks.ts";
import { type ReadOptions, readScale } from "./read-scale.ts";
import { SCALE_TOLERANCE_U } from "./tolerance.ts";

/**
 * Reads the scale in a photograph (see docs/scale-reading.md). "Not found" and "not sure" are answers, with the
 * reason; only what cannot be decoded throws, as `decodePicture` does.
 */
export async function scaleOfFile(input: ScaleInput): Promise<ScaleAnswer> {
  const picture = await decodePicture(input.file);
  const info = await infoOfFile({ file: input.file });
  const { widthPx, heightPx } = picture;
  const size = { file: input.file, widthPx, heightPx };
  const pixelMm = pixelSizeMm(input, info, widthPx, heightPx);
  const options: ReadOptions = {
    ...(input.near && { near: input.near }),
    ...(input.twoPoints && { twoPoints: input.twoPoints }),
    ...(input.kind && { kind: input.kind }),
    ...(pixelMm && { pixelMm }),
    ...(info.focalMm && { focalMm: info.focalMm }),
  };
  const reading = readScale(wholeGreyOf(picture), options);
  if (!reading.found) return { ...size, found: false, reason: reading.reason };
  const { value, u95 } = reading.facingPxPerMm;
  return {
    ...size,
    found: true,
    scales: reading.scales,
    plane: reading.plane,
    reproductionRatio: pixelMm ? { value: value * pixelMm, u95: u95 * pixelMm } : null,
    warnings: [...picture.warnings, ...reading.warnings],
    recipe: {
      step: "scale",
      version: 1,
      parameters: { scaleToleranceU: SCALE_TOLERANCE_U, ...saidByPerson(input) },
    },
  };
}

/** A person's help is a part of what made the result. */
function saidByPerson({ kind, near, twoPoints }: ScaleInput) {
  return { ...(kind && { scaleKind: kind }), ...(near && { near }), ...(twoPoints && { twoPoints }) };
}

/**
 * Size of one pixel of this picture on the sensor. The file's width is along the rows as stored, before the picture
 * was turned upright; a person's is the sensor's long side.
 */
function pixelSizeMm(input: ScaleInput, info: InfoAnswer, widthPx: number, heightPx: number): number | null {
  if (input.sensorWidthMm) return input.sensorWidthMm / Math.max(widthPx, heightPx);
  if (!info.sensorWidthMm) return null;
  const turned = info.orientation >= 5;
  return info.sensorWidthMm.value / (turned ? heightPx : widthPx);
}
