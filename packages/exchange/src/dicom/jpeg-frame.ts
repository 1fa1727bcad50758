import { SamescaleError } from "@samescale/errors";
import sharp from "sharp";

/** A picture as DICOM's JPEG baseline takes it. */
export interface JpegFrame {
  readonly bytes: Uint8Array;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly photometric: "MONOCHROME2" | "YBR_FULL_422" | "RGB";
  readonly iccProfile: Uint8Array | null;
  /** Why the picture's bytes are not those that were given; null: they are, byte for byte. */
  readonly reencoded: string | null;
}

/** Finer than any difference that a person sees: re-encoding is the exception and must not cost detail. */
const QUALITY = 95;

/**
 * The picture for encapsulation: a baseline JPEG that stands upright goes in as it is, anything else is decoded, turned
 * upright and encoded once more, and says why.
 * @source DicomPS3.5 8.2.1 (JPEG baseline, 8 bits), JpegT81 annex B
 * @throws SamescaleError PICTURE_DAMAGED
 */
export async function jpegFrame(picture: Uint8Array): Promise<JpegFrame> {
  const why = whyNotAsItIs(picture);
  const bytes = why === null ? picture : await baseline(picture);
  const head = headOf(bytes);
  if (head === null) throw damaged();
  const { icc } = await sharp(bytes).metadata();
  return {
    bytes,
    widthPx: head.widthPx,
    heightPx: head.heightPx,
    photometric: head.components === 1 ? "MONOCHROME2" : head.isRgb ? "RGB" : "YBR_FULL_422",
    iccProfile: icc ?? null,
    reencoded: why,
  };
}

async function baseline(picture: Uint8Array): Promise<Uint8Array> {
  try {
    return await sharp(picture, { failOn: "error", limitInputPixels: 200e6 })
      .autoOrient()
      .flatten({ background: "#fff" })
      .withIccProfile("srgb")
      .jpeg({ quality: QUALITY, chromaSubsampling: "4:4:4", progressive: false })
      .toBuffer();
  } catch (cause) {
    throw damaged(cause);
  }
}

function whyNotAsItIs(picture: Uint8Array): string | null {
  const head = headOf(picture);
  if (head === null) return "it was not a JPEG";
  if (!head.isBaseline) return "it was not a baseline JPEG";
  if (head.components !== 1 && head.components !== 3) return `it had ${head.components} colour components`;
  if (head.orientation !== 1) return "it did not stand upright";
  return null;
}

interface JpegHead {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly components: number;
  readonly isBaseline: boolean;
  readonly isRgb: boolean;
  /** As Exif numbers it; 1 is upright. */
  readonly orientation: number;
}

/** Walks the segments in front of the first scan; null where they are no JPEG's. */
function headOf(picture: Uint8Array): JpegHead | null {
  const bytes = Buffer.from(picture.buffer, picture.byteOffset, picture.byteLength);
  if (bytes.length < 4 || bytes.readUInt16BE(0) !== 0xffd8) return null;
  let frame: Omit<JpegHead, "isRgb" | "orientation"> | null = null;
  let adobeTransform: number | null = null;
  let orientation = 1;
  for (let at = 2; at + 4 <= bytes.length; ) {
    if (bytes[at] !== 0xff) return null;
    const marker = bytes[at + 1]!;
    if (marker === 0xff) {
      at += 1; // fill byte
      continue;
    }
    const length = bytes.readUInt16BE(at + 2);
    const segment = bytes.subarray(at + 4, at + 2 + length);
    if (length < 2 || at + 2 + length > bytes.length) return null;
    if (marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker)) {
      if (segment.length < 6) return null;
      frame = {
        heightPx: segment.readUInt16BE(1),
        widthPx: segment.readUInt16BE(3),
        components: segment[5]!,
        isBaseline: marker === 0xc0 && segment[0] === 8,
      };
    } else if (marker === 0xee && segment.subarray(0, 5).toString("latin1") === "Adobe") {
      adobeTransform = segment[11] ?? null;
    } else if (marker === 0xe1 && segment.subarray(0, 6).toString("latin1") === "Exif\0\0") {
      orientation = exifOrientation(segment.subarray(6));
    }
    if (marker === 0xda) return frame && { ...frame, isRgb: adobeTransform === 0, orientation };
    at += 2 + length;
  }
  return null;
}

/** Tag 0x0112 of the first directory; 1 where it is absent or cannot be read. @source EXIF232 */
function exifOrientation(tiff: Buffer): number {
  try {
    const little = tiff.subarray(0, 2).toString("latin1") === "II";
    const u16 = (at: number) => (little ? tiff.readUInt16LE(at) : tiff.readUInt16BE(at));
    const directory = little ? tiff.readUInt32LE(4) : tiff.readUInt32BE(4);
    for (let entry = 0; entry < u16(directory); entry++) {
      const at = directory + 2 + 12 * entry;
      if (u16(at) === 0x0112) return u16(at + 8);
    }
  } catch {
    return 1; // metadata that end early: what they would say is not known
  }
  return 1;
}

const damaged = (cause?: unknown): SamescaleError =>
  new SamescaleError(
    "PICTURE_DAMAGED",
    "A picture on its way out cannot be decoded",
    "Run `samescale verify`; leave this frame out of what is passed on.",
    { cause },
  );

let srgb: Promise<Uint8Array> | null = null;

/** The ICC profile that stands for sRGB where a picture brings none. */
export function srgbProfile(): Promise<Uint8Array> {
  srgb ??= sharp({ create: { width: 1, height: 1, channels: 3, background: "#000" } })
    .withIccProfile("srgb")
    .jpeg()
    .toBuffer()
    .then(async (jpeg) => (await sharp(jpeg).metadata()).icc!);
  return srgb;
}
