import type { Measured } from "@samescale/geometry";
import type { InfoAnswer, ReadScale, ScaleAnswer } from "../answers.ts";
import { decodePicture, wholeGreyOf } from "../decode/decode.ts";
import type { GreyPicture } from "../decode/picture.ts";
import { infoOfFile } from "../info/info-of-file.ts";
import type { ScaleInput } from "../pool/tasks.ts";
import { distanceDoubt } from "./distance-check.ts";
import { codesBeside } from "./own-length/codes-beside.ts";
import { type OwnLength, ownLength } from "./own-length/known-scale.ts";
import { atSubject } from "./plane/scale-height.ts";
import { type ReadOptions, readEdges, readScale, type ScaleReading, seeEdges } from "./read-scale.ts";
import { ratioFrom, sensorPitch } from "./sensor-pitch.ts";
import { MIRRORED_SAYS } from "./unit/by-numerals.ts";

/**
 * Reads the scale in a photograph (see docs/methods/scale.md). "Not found" and "not sure" are answers, with the
 * reason; only what cannot be decoded throws, as `decodePicture` does.
 */
export async function scaleOfFile(input: ScaleInput): Promise<ScaleAnswer> {
  const info = await infoOfFile({ file: input.file });
  return await scaleOfGrey(input, info, await greyOfFile(input.file));
}

/** The whole picture in grey, and what its decoding had to say. */
export interface GreyOfFile {
  readonly picture: GreyPicture;
  readonly warnings: readonly string[];
}

/** The same for a picture that was decoded for other steps as well. @param info of `input.file` */
export async function scaleOfGrey(
  input: ScaleInput,
  info: InfoAnswer,
  { picture, warnings }: GreyOfFile,
): Promise<ScaleAnswer> {
  const { widthPx, heightPx } = picture;
  const size = { file: input.file, sha256: info.sha256, widthPx, heightPx };
  const pitch = sensorPitch(input, info, picture);
  const options: ReadOptions = {
    ...(input.near && { near: input.near }),
    ...(input.twoPoints && { twoPoints: input.twoPoints }),
    ...(input.kind && { kind: input.kind }),
    ...(input.material && { material: input.material }),
    ...(pitch.pixelMm !== null && { pixelMm: pitch.pixelMm }),
    ...(info.focalMm && { focalMm: info.focalMm }),
  };
  const lengthOf = (id: string) => ownLength(id, input.calibrations ?? [], dayOf(info));
  const onScale = await readWithCodes(picture, options, lengthOf, input.scaleId);
  if (!onScale.found) return { ...size, found: false, reason: onScale.reason };
  const { reading, heightU } = input.scaleHeightMm
    ? atSubject(onScale, input.scaleHeightMm, { ...info, ...pitch })
    : { reading: onScale, heightU: null };
  const ratio = ratioFrom(reading.facingPxPerMm, pitch);
  const doubts = ratio && pitch.pixelMm !== null ? [pitch.doubt, distanceDoubt(info, ratio.value)] : [];
  return {
    ...size,
    found: true,
    scales: reading.scales,
    plane: reading.plane,
    reproductionRatio: ratio,
    ratioFrom: pitch.from,
    ...imageDistance(ratio, info, pitch.pixelMm),
    ...(reading.warnings.includes(MIRRORED_SAYS) && { mirrored: true as const }),
    warnings: [
      ...warnings,
      ...reading.warnings,
      ...notRecognised(input, reading.scales),
      ...doubts.filter((said) => said !== null),
    ],
    recipe: {
      step: "scale",
      version: 2,
      parameters: {
        scaleToleranceU: reading.lengthU,
        scaleMaterial: input.material ?? "unknown",
        ...(heightU !== null && { scaleHeightU: heightU }),
        ...lengthsUsed(reading.scales, lengthOf),
        ...saidByPerson(input),
      },
    },
  };
}

/** The colours, three times as large, are let go before the reading begins. */
async function greyOfFile(file: string): Promise<GreyOfFile> {
  const picture = await decodePicture(file);
  return { picture: wholeGreyOf(picture), warnings: picture.warnings };
}

/** Codes of our own scales are looked for beside what was found, and before anything is said of its unit. */
async function readWithCodes(
  picture: GreyPicture,
  options: ReadOptions,
  lengthOf: (id: string) => OwnLength,
  named: string | undefined,
): Promise<ScaleReading> {
  const said = named === undefined ? {} : { named };
  if (options.twoPoints)
    return readScale(picture, { ...options, lengths: { markers: [], ...said, lengthOf } });
  const { levels, edges } = seeEdges(picture, options);
  const markers = await codesBeside(levels, edges);
  return readEdges(picture, edges, { ...options, lengths: { markers, ...said, lengthOf } });
}

/** Nobody should believe that the record was used where it was not. */
function notRecognised({ calibrations }: ScaleInput, scales: readonly ReadScale[]): string[] {
  if (!calibrations || scales.some(({ id }) => id !== undefined)) return [];
  return [
    "No code of a measured scale was read: its nominal length is used. Name the scale with --scale-id.",
  ];
}

/** When the photograph was made; today where the file does not say. */
function dayOf({ takenAt }: InfoAnswer): string {
  return (takenAt?.iso ?? new Date().toISOString()).slice(0, 10);
}

/** Thin lens: f (1 + m). */
function imageDistance(ratio: Measured | null, { focalMm }: InfoAnswer, pixelMm: number | null) {
  if (!ratio || !focalMm || pixelMm === null) return {};
  return { imageDistancePx: (focalMm * (1 + ratio.value)) / pixelMm };
}

/** Which measurement of which scale stands behind the numbers. */
function lengthsUsed(scales: readonly ReadScale[], lengthOf: (id: string) => OwnLength) {
  const ids = [...new Set(scales.flatMap(({ id }) => (id === undefined ? [] : [id])))];
  const calibrations = ids.map((id) => {
    const { measuredOn, x, y } = lengthOf(id);
    return { id, measuredOn, x, y };
  });
  return calibrations.length > 0 ? { calibrations } : {};
}

/** A person's help is a part of what made the result. */
function saidByPerson({ kind, near, twoPoints, scaleId, scaleHeightMm }: ScaleInput) {
  return {
    ...(scaleHeightMm && { scaleHeightMm }),
    ...(scaleId && { scaleId }),
    ...(kind && { scaleKind: kind }),
    ...(near && { near }),
    ...(twoPoints && { twoPoints }),
  };
}
