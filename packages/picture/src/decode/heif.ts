import { SamescaleError } from "@samescale/errors";
import type { DecodableHeicImage } from "heic-decode";
import { MAX_PIXELS, pictureFault, tooLarge } from "./sharp.ts";
import { uncompressedTiff } from "./uncompressed-tiff.ts";

/** Size of the picture in an HEIC file, upright: its own turns and mirrorings are part of the container. */
export async function heifSize(bytes: Buffer, file: string): Promise<{ widthPx: number; heightPx: number }> {
  return await withPicture(bytes, file, async (picture) => ({
    widthPx: picture.width,
    heightPx: picture.height,
  }));
}

/**
 * Decodes an HEIC picture and wraps it with its colour profile. The decoder applies the container's rotation;
 * the EXIF orientation repeats it and must not be applied again.
 */
export async function heifAsTiff(bytes: Buffer, file: string): Promise<Buffer> {
  return await withPicture(bytes, file, async (picture) => {
    const { width: widthPx, height: heightPx, data } = await picture.decode();
    const pixels = new Uint8Array(data.buffer, data.byteOffset, data.byteLength);
    return uncompressedTiff({ widthPx, heightPx, channels: 4, pixels, profile: embeddedProfile(bytes) });
  });
}

async function withPicture<T>(
  bytes: Buffer,
  file: string,
  use: (picture: DecodableHeicImage) => Promise<T>,
): Promise<T> {
  const { default: decode } = await import("heic-decode");
  try {
    const pictures = await decode.all({ buffer: bytes });
    try {
      const first = pictures[0];
      if (!first) throw new Error("no picture inside");
      if (first.width * first.height > MAX_PIXELS) {
        throw tooLarge(file, { widthPx: first.width, heightPx: first.height });
      }
      return await use(first);
    } finally {
      pictures.dispose();
    }
  } catch (thrown) {
    if (thrown instanceof SamescaleError) throw thrown;
    throw pictureFault(thrown, file);
  }
}

/** The ICC profile of the first `colr` box that holds one; a box is its length, its name, then its content. */
function embeddedProfile(bytes: Buffer): Uint8Array | undefined {
  const at = bytes.indexOf("colrprof", 0, "latin1");
  if (at < 4) return undefined;
  const length = bytes.readUInt32BE(at - 4);
  const end = at - 4 + length;
  const start = at + 8;
  return end > start && end <= bytes.length ? bytes.subarray(start, end) : undefined;
}
