import type { Sharp } from "sharp";
import { bytesOfFile } from "./bytes-of-file.ts";
import { fittingSize, type Size } from "./fitting-size.ts";
import { heifAsTiff } from "./heif.ts";
import type { UprightPicture } from "./picture.ts";
import { type PictureKind, pictureKind } from "./picture-kind.ts";
import { rawPicture } from "./raw.ts";
import { MAX_PIXELS, pictureFault, sharp, tooLarge } from "./sharp.ts";

export { greyOf, wholeGreyOf } from "./grey.ts";

export interface DecodedPicture extends UprightPicture {
  /**
   * Decoded pixels per upright full-size pixel, 1 when full. Positions are outer-corner coordinates on both
   * sides, so that `full = decoded / scale`, without a half-pixel term.
   */
  readonly scale: number;
  /** Size of the upright picture before any reduction. */
  readonly fullWidthPx: number;
  readonly fullHeightPx: number;
  /** What a later step should pass on to a person, such as data damaged in places. */
  readonly warnings: readonly string[];
}

/** A box of the upright picture in full-size pixels, inside it. */
export interface PicturePart {
  readonly left: number;
  readonly top: number;
  readonly widthPx: number;
  readonly heightPx: number;
}

interface DecodeOptions {
  readonly maxSidePx?: number;
  readonly part?: PicturePart;
  /** For looking at only: this upright size. The loader may reduce by itself, which is fast and off by part of a pixel. */
  readonly lookSize?: Size;
}

/** Pixels on their way, upright and in sRGB, not yet decoded: what `finish` makes of them says how. */
export interface UprightPixels {
  readonly pipeline: Sharp;
  readonly scale: number;
  readonly fullWidthPx: number;
  readonly fullHeightPx: number;
}

/**
 * Decodes a photograph by its content: JPEG, PNG, TIFF, WebP, HEIC, RAW. Orientation 1 to 8 is applied, the
 * embedded profile converted to sRGB (perceptual intent; no profile means sRGB), 16 bits reduced to 8, CMYK and
 * grey brought to three channels, transparency laid over mid grey (128), the first page taken of several.
 *
 * @param options.maxSidePx reduce so that the long side is at most this, and at least 95 % of it
 * @param options.part only these pixels, at full size, whatever `maxSidePx` says
 * @throws SamescaleError those of `bytesOfFile` and `pictureKind`, RAW_NOT_READ, PICTURE_TRUNCATED, PICTURE_DAMAGED,
 *   PICTURE_TOO_LARGE (more than 200 million pixels)
 */
export async function decodePicture(file: string, options: DecodeOptions = {}): Promise<DecodedPicture> {
  const { bytes } = await bytesOfFile(file);
  return await decodeBytes(bytes, file, options);
}

/** The same for bytes already read; `file` is named in errors. */
export async function decodeBytes(
  bytes: Buffer,
  file: string,
  options: DecodeOptions = {},
): Promise<DecodedPicture> {
  const { made, said } = await finishUpright(bytes, file, options, decoded);
  return { ...made, warnings: said };
}

/**
 * Decodes a photograph as `decodePicture` does, into whatever `finish` makes of the pixels as they come: a large picture
 * need not lie in memory whole. A damaged one is finished a second time, less strictly.
 * @throws as `decodePicture`
 */
export async function finishUpright<T>(
  bytes: Buffer,
  file: string,
  options: DecodeOptions,
  finish: (pixels: UprightPixels) => Promise<T>,
): Promise<{ readonly made: T; readonly said: readonly string[] }> {
  const source = await sharpSource(bytes, pictureKind(bytes, file), file);
  const finishWith = async (failOn: "warning" | "error") => {
    const { pixels, others } = await uprightPixels(source, options, file, failOn);
    return { made: await finish(pixels), said: [...source.warnings, ...others] };
  };
  try {
    return await strictlyOrDamaged(finishWith);
  } catch (thrown) {
    throw pictureFault(thrown, file);
  }
}

/** Bytes that the image library reads, and the orientation to apply where the bytes do not say it themselves. */
interface SharpSource {
  readonly bytes: Buffer;
  readonly orientation: number | null;
  readonly warnings: readonly string[];
}

async function sharpSource(bytes: Buffer, kind: PictureKind, file: string): Promise<SharpSource> {
  if (kind === "heif") return { bytes: await heifAsTiff(bytes, file), orientation: 1, warnings: [] };
  if (kind === "raw") return await rawPicture(bytes, file);
  return { bytes, orientation: null, warnings: [] };
}

/**
 * A cut-off picture is always refused. Lesser damage (a few wrong bits, stray bytes between blocks) is common in
 * files that look whole; it is decoded, and said.
 */
async function strictlyOrDamaged<T>(
  finishWith: (
    failOn: "warning" | "error",
  ) => Promise<{ readonly made: T; readonly said: readonly string[] }>,
) {
  try {
    return await finishWith("warning");
  } catch (strict) {
    const { made, said } = await finishWith("error");
    const damage = /premature end/i.test(String(strict))
      ? "Data are missing inside the picture, parts of it may be blank: look at it before measuring in it."
      : "The picture's data are damaged in places: look at it before measuring in it.";
    return { made, said: [...said, damage] };
  }
}

/** Quarter turns clockwise after an optional left-right flip, for EXIF orientation 1 to 8. */
const TURNS: readonly (readonly [flop: boolean, quarterTurns: number])[] = [
  [false, 0],
  [true, 0],
  [false, 2],
  [true, 2],
  [true, 3],
  [false, 1],
  [true, 1],
  [false, 3],
];

async function uprightPixels(
  source: SharpSource,
  { maxSidePx = Number.POSITIVE_INFINITY, part, lookSize }: DecodeOptions,
  file: string,
  failOn: "warning" | "error",
): Promise<{ readonly pixels: UprightPixels; readonly others: readonly string[] }> {
  const input = () => sharp(source.bytes, { failOn, limitInputPixels: MAX_PIXELS, sequentialRead: true });
  const stored = await input().metadata();
  const full = { widthPx: stored.width, heightPx: stored.height };
  if (full.widthPx * full.heightPx > MAX_PIXELS) throw tooLarge(file, full);
  const [flop, quarterTurns] = TURNS[(source.orientation ?? stored.orientation ?? 1) - 1] ?? TURNS[0]!;
  const sideways = quarterTurns % 2 === 1;
  const target = lookSize
    ? storedLook(lookSize, full, sideways)
    : fittingSize(full, part ? Number.POSITIVE_INFINITY : maxSidePx);

  let pipeline = input();
  if (part) {
    pipeline = pipeline.extract(asStored(part, full, flop, quarterTurns));
  } else if (target.scale < 1) {
    if (!lookSize && !reducesExactlyOnLoad(stored.format, full)) {
      // A cut to the whole picture changes nothing, but keeps the loader from reducing by itself.
      pipeline = pipeline.extract({ left: 0, top: 0, width: full.widthPx, height: full.heightPx });
    }
    pipeline = pipeline.resize({ width: target.widthPx, height: target.heightPx, fit: "fill" });
  }
  if (flop) pipeline = pipeline.flop();
  if (quarterTurns > 0) pipeline = pipeline.rotate(90 * quarterTurns);
  pipeline = pipeline.flatten({ background: { r: 128, g: 128, b: 128 } });
  // With a 16-bit profiled picture the library works in a wider space and has to be told to come back.
  if (stored.depth !== "uchar" && stored.hasProfile) pipeline = pipeline.withIccProfile("srgb");
  return {
    pixels: {
      pipeline: pipeline.toColourspace("srgb"),
      scale: target.scale,
      fullWidthPx: sideways ? full.heightPx : full.widthPx,
      fullHeightPx: sideways ? full.widthPx : full.heightPx,
    },
    others: await otherPictures(source.bytes, stored),
  };
}

async function decoded({ pipeline, ...size }: UprightPixels): Promise<Omit<DecodedPicture, "warnings">> {
  const { data, info } = await pipeline.raw({ depth: "uchar" }).toBuffer({ resolveWithObject: true });
  if (info.channels !== 3) throw new Error(`expected 3 channels, received ${info.channels}`);
  return {
    widthPx: info.width,
    heightPx: info.height,
    rgb: new Uint8Array(data.buffer, data.byteOffset, data.byteLength),
    ...size,
  };
}

function storedLook({ widthPx, heightPx }: Size, full: Size, sideways: boolean) {
  const stored = sideways ? { widthPx: heightPx, heightPx: widthPx } : { widthPx, heightPx };
  return { ...stored, scale: stored.widthPx / full.widthPx };
}

/** Where a part of the upright picture lies in the stored one: turned back, then flipped back. */
function asStored(
  { left, top, widthPx, heightPx }: PicturePart,
  full: { readonly widthPx: number; readonly heightPx: number },
  flop: boolean,
  quarterTurns: number,
) {
  const [right, bottom] = [left + widthPx, top + heightPx];
  const [x, y] = [
    [left, top],
    [top, full.heightPx - right],
    [full.widthPx - right, full.heightPx - bottom],
    [full.widthPx - bottom, left],
  ][quarterTurns]! as [number, number];
  const [width, height] = quarterTurns % 2 === 1 ? [heightPx, widthPx] : [widthPx, heightPx];
  return { left: flop ? full.widthPx - x - width : x, top: y, width, height };
}

/** Frames of an animation or pages of a document are said; a smaller picture beside the first is its preview. */
async function otherPictures(
  bytes: Buffer,
  first: { readonly pages?: number | undefined; readonly width: number },
): Promise<string[]> {
  if (first.pages === undefined || first.pages < 2) return [];
  const second = await sharp(bytes, { page: 1, limitInputPixels: MAX_PIXELS }).metadata();
  if (second.width < 0.5 * first.width) return [];
  return [`The file holds ${first.pages} pictures; the first of them was read.`];
}

/**
 * The JPEG loader can reduce by 2, 4 or 8 while decoding, which is fast, but rounds the size up: only for sides
 * that are multiples of 8 does a reduced pixel cover exactly that many full ones.
 */
function reducesExactlyOnLoad(
  format: string | undefined,
  full: { widthPx: number; heightPx: number },
): boolean {
  return format === "jpeg" && full.widthPx % 8 === 0 && full.heightPx % 8 === 0;
}
