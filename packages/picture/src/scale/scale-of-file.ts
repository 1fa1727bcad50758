import type { ScaleAnswer } from "../answers.ts";
import { decodePicture, greyOf } from "../decode/decode.ts";
import { infoOfFile } from "../info/info-of-file.ts";
import type { ScaleInput } from "../pool/tasks.ts";
import { readScale, SCALE_TOLERANCE_U } from "./read-scale.ts";

/** Reads the scale in a photograph. Throws only what decoding throws; "not found" is an answer. */
export async function scaleOfFile(input: ScaleInput): Promise<ScaleAnswer> {
  const picture = await decodePicture(input.file);
  const { widthPx, heightPx } = picture;
  const size = { file: input.file, widthPx, heightPx };
  const reading = readScale(greyOf(picture), input.near ? { near: input.near } : {});
  if (!reading.found) return { ...size, found: false, reason: reading.reason };
  const info = await infoOfFile({ file: input.file });
  const pixelMm = input.sensorWidthMm
    ? input.sensorWidthMm / Math.max(widthPx, heightPx)
    : info.sensorWidthMm && info.sensorWidthMm.value / (info.orientation >= 5 ? heightPx : widthPx);
  const best = reading.scales[0]!.pxPerMm;
  return {
    ...size,
    found: true,
    scales: reading.scales,
    plane: null,
    reproductionRatio: pixelMm ? { value: best.value * pixelMm, u95: best.u95 * pixelMm } : null,
    warnings: [...picture.warnings, ...reading.warnings],
    recipe: { step: "scale", version: 1, parameters: { scaleToleranceU: SCALE_TOLERANCE_U } },
  };
}
