import type { ScaleAnswer } from "../answers.ts";
import { decodePicture, wholeGreyOf } from "../decode/decode.ts";
import { infoOfFile } from "../info/info-of-file.ts";
import type { ScaleInput } from "../pool/tasks.ts";
import { distanceDoubt } from "./distance-check.ts";
import { type ReadOptions, readScale } from "./read-scale.ts";
import { ratioFrom, sensorPitch } from "./sensor-pitch.ts";
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
  const pitch = sensorPitch(input, info, picture);
  const options: ReadOptions = {
    ...(input.near && { near: input.near }),
    ...(input.twoPoints && { twoPoints: input.twoPoints }),
    ...(input.kind && { kind: input.kind }),
    ...(pitch.pixelMm !== null && { pixelMm: pitch.pixelMm }),
    ...(info.focalMm && { focalMm: info.focalMm }),
  };
  const reading = readScale(wholeGreyOf(picture), options);
  if (!reading.found) return { ...size, found: false, reason: reading.reason };
  const ratio = ratioFrom(reading.facingPxPerMm, pitch);
  const doubts = ratio && pitch.pixelMm !== null ? [pitch.doubt, distanceDoubt(info, ratio.value)] : [];
  return {
    ...size,
    found: true,
    scales: reading.scales,
    plane: reading.plane,
    reproductionRatio: ratio,
    ratioFrom: pitch.from,
    warnings: [...picture.warnings, ...reading.warnings, ...doubts.filter((said) => said !== null)],
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
