import { heifSize } from "./heif.ts";
import type { PictureKind } from "./picture-kind.ts";
import { rawSize } from "./raw.ts";
import { MAX_PIXELS, pictureFault, sharp, tooLarge } from "./sharp.ts";

export interface PictureSize {
  /** Upright: what `decodePicture` gives as `fullWidthPx` and `fullHeightPx`. */
  readonly widthPx: number;
  readonly heightPx: number;
  /** What was applied to come from the stored to the upright picture, 1 to 8. */
  readonly orientation: number;
  readonly hasProfile: boolean;
  /** The metadata block where the image library finds one, beginning with its TIFF header. */
  readonly exif: Buffer | null;
  readonly warnings: readonly string[];
}

/** Size and orientation of a picture without decoding its pixels. @throws as `decodePicture`, but for damage */
export async function pictureSize(bytes: Buffer, kind: PictureKind, file: string): Promise<PictureSize> {
  if (kind === "heif") {
    const { widthPx, heightPx } = await heifSize(bytes, file);
    return { widthPx, heightPx, orientation: 1, hasProfile: true, exif: null, warnings: [] };
  }
  if (kind === "raw") {
    const raw = await rawSize(bytes, file);
    if (raw.preview) {
      const own = await sharpSize(raw.preview, file, raw.orientation);
      return { ...own, hasProfile: true, warnings: raw.warnings };
    }
    const { widthPx, heightPx, warnings } = raw;
    return { widthPx, heightPx, orientation: 1, hasProfile: true, exif: null, warnings };
  }
  return await sharpSize(bytes, file, null);
}

async function sharpSize(bytes: Buffer, file: string, known: number | null): Promise<PictureSize> {
  try {
    const read = await sharp(bytes, { limitInputPixels: MAX_PIXELS }).metadata();
    if (read.width * read.height > MAX_PIXELS) {
      throw tooLarge(file, { widthPx: read.width, heightPx: read.height });
    }
    const orientation = validOrientation(known ?? read.orientation);
    return {
      ...turned(read.width, read.height, orientation),
      orientation,
      hasProfile: read.hasProfile,
      exif: read.exif ? withoutPrefix(read.exif) : null,
      warnings: (read.pages ?? 1) > 1 ? [`The file holds ${read.pages} pages: the first one is used.`] : [],
    };
  } catch (thrown) {
    throw pictureFault(thrown, file);
  }
}

export const validOrientation = (value: unknown): number =>
  typeof value === "number" && Number.isInteger(value) && value >= 1 && value <= 8 ? value : 1;

function turned(storedWidthPx: number, storedHeightPx: number, orientation: number) {
  return orientation >= 5
    ? { widthPx: storedHeightPx, heightPx: storedWidthPx }
    : { widthPx: storedWidthPx, heightPx: storedHeightPx };
}

const withoutPrefix = (exif: Buffer) =>
  exif.toString("latin1", 0, 6) === "Exif\0\0" ? exif.subarray(6) : exif;
