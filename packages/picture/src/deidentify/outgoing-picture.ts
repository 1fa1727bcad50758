import { scaleOfCode } from "@samescale/marker";
import type { XY } from "../answers.ts";
import { bytesOfFile } from "../decode/bytes-of-file.ts";
import { decodeBytes } from "../decode/decode.ts";
import { type PictureKind, pictureKind } from "../decode/picture-kind.ts";
import { MAX_PIXELS, sharp } from "../decode/sharp.ts";
import { FIRST_SIDE_PX, labelsOfBytes } from "../label/labels-of-file.ts";
import { type CameraFacts, cameraExif } from "./camera-exif.ts";
import { cover } from "./cover.ts";
import type { MaskArea } from "./mask-area.ts";
import { reachPx } from "./reach.ts";

export interface OutgoingPictureInput {
  readonly file: string;
  /** SHA-256 that the file must have: masks were confirmed on this very original. */
  readonly sha256: string;
  /** Null: as many pixels as there are. */
  readonly maxSidePx: number | null;
  /** What is destroyed in it; null: nothing is masked, as the patient may be known. */
  readonly areas: readonly MaskArea[] | null;
  /** Null: no metadata at all. */
  readonly camera: { readonly facts: CameraFacts; readonly takenAt: string | null } | null;
}

export type OutgoingPictureAnswer =
  | {
      readonly made: true;
      readonly jpeg: Uint8Array;
      readonly widthPx: number;
      readonly heightPx: number;
      readonly pxPerOriginalPx: number;
      /** Share of the picture that masks cover, 0 to 1. */
      readonly masked: number;
      /** Codes that can still be read in it; looked for where something must be masked. */
      readonly codes: readonly string[];
    }
  | { readonly made: false; readonly why: string };

/** Differences from the original stay below what a screen or a printer shows. Common practice, no source. */
const QUALITY = 92;

/**
 * A picture as it may leave, made anew from its pixels: upright, sRGB with its profile, reduced, then masked, then
 * coded. Nothing of the file is copied: no metadata, no preview, nothing before, between or behind the picture's data.
 * What lies under a mask has no part in the result, down to the last bit.
 */
export async function outgoingPicture(input: OutgoingPictureInput): Promise<OutgoingPictureAnswer> {
  const { bytes, sha256 } = await bytesOfFile(input.file);
  if (sha256 !== input.sha256) return { made: false, why: `The original has changed: it is ${sha256} now` };
  const kind = pictureKind(bytes, input.file);
  const decoded = await decodeBytes(
    bytes,
    input.file,
    input.maxSidePx === null ? {} : { maxSidePx: input.maxSidePx },
  );
  const { scale } = decoded;
  const widenPx = reachPx(kind, await chromaOf(bytes, kind), scale);
  const { picture, covered } = cover(decoded, polygonsAt(input.areas ?? [], scale), widenPx);
  const { widthPx, heightPx } = picture;
  const raw = { width: widthPx, height: heightPx, channels: 3 as const };
  const coded = sharp(picture.rgb, { raw })
    .withIccProfile("srgb")
    .jpeg({ quality: QUALITY, chromaSubsampling: "4:4:4" });
  const jpeg = await (input.camera ? coded.withExif(exifOf(input.camera, decoded)) : coded).toBuffer();
  const codes = input.areas === null ? [] : await codesIn(jpeg, input.file);
  return {
    made: true,
    jpeg,
    widthPx,
    heightPx,
    pxPerOriginalPx: scale,
    masked: covered,
    codes,
  };
}

/** A scale's own code says which scale it is, not who. */
async function codesIn(jpeg: Buffer, file: string): Promise<string[]> {
  const seen = await decodeBytes(jpeg, file, { maxSidePx: FIRST_SIDE_PX });
  const { codes } = await labelsOfBytes(jpeg, file, seen);
  return codes.map(({ text }) => text).filter((text) => scaleOfCode(text) === null);
}

const polygonsAt = (areas: readonly MaskArea[], scale: number): XY[][] =>
  areas.map(({ polygon }) => polygon.map(([x, y]) => [x * scale, y * scale]));

async function chromaOf(bytes: Buffer, kind: PictureKind): Promise<string | undefined> {
  if (kind !== "jpeg") return undefined;
  return (await sharp(bytes, { limitInputPixels: MAX_PIXELS }).metadata()).chromaSubsampling;
}

function exifOf({ facts, takenAt }: NonNullable<OutgoingPictureInput["camera"]>, decoded: Full) {
  // The sensor's width lies along the long side of a camera's picture, however it was held.
  const longPx = Math.max(decoded.fullWidthPx, decoded.fullHeightPx) * decoded.scale;
  const sensorMm = facts.sensorWidthMm?.value ?? null;
  return cameraExif(facts, takenAt, sensorMm && longPx / sensorMm);
}

type Full = { readonly fullWidthPx: number; readonly fullHeightPx: number; readonly scale: number };
