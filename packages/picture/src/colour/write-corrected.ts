import { createHash, randomUUID } from "node:crypto";
import { link, open, readFile, rename, rm, stat } from "node:fs/promises";
import { basename, dirname, extname, join } from "node:path";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import type { Recipe } from "../answers.ts";
import type { CorrectedPicture } from "../colour-answers.ts";
import { decodeBytes } from "../decode/decode.ts";
import { MAX_PIXELS, sharp } from "../decode/sharp.ts";
import { correctPicture } from "./correct-picture.ts";
import type { Correction } from "./correction.ts";
import { xmpWithNote } from "./derived-note.ts";

/** File types written, by the ending of the name. Quality 95 without chroma reduction: a derivative to look at closely. */
const WRITERS = {
  ".jpg": (s: ReturnType<typeof sharp>) => s.jpeg({ quality: 95, chromaSubsampling: "4:4:4" }),
  ".png": (s: ReturnType<typeof sharp>) => s.png(),
  ".tif": (s: ReturnType<typeof sharp>) => s.tiff({ compression: "deflate" }),
} as const;

const ENDINGS: Readonly<Record<string, keyof typeof WRITERS>> = {
  ".jpg": ".jpg",
  ".jpeg": ".jpg",
  ".png": ".png",
  ".tif": ".tif",
  ".tiff": ".tif",
};

/** An original as it was read. */
export interface Original {
  readonly file: string;
  readonly bytes: Buffer;
  readonly sha256: string;
  /** SHA-256 of other files that the correction rests on. */
  readonly others?: readonly string[];
}

/**
 * Writes the corrected picture: upright, 8-bit sRGB with its profile embedded, the original's EXIF, XMP and IPTC kept
 * (orientation set to upright), and in the XMP how it was made, from what. Never over an existing file, unless that
 * holds the very same bytes; complete or not at all. Also returns what a person should know.
 *
 * @throws SamescaleError CORRECTED_FORMAT, CORRECTED_EXISTS, and those of reading and decoding
 */
export async function writeCorrected(
  { file, bytes, sha256, others = [] }: Original,
  correction: Correction,
  to: string,
  recipe: Recipe,
): Promise<{ readonly corrected: CorrectedPicture; readonly warnings: readonly string[] }> {
  const writer = ENDINGS[extname(to).toLowerCase()];
  if (!writer) {
    throw new SamescaleError(
      "CORRECTED_FORMAT",
      `Expected a name ending in .jpg, .png or .tif, received ${to}`,
      "Choose one of these endings.",
    );
  }
  const picture = correctPicture(await decodeBytes(bytes, file), correction);
  const { pipeline, xmp, warnings } = await withMetadata(bytes, picture);
  const inputs = [sha256, ...others];
  const told = pipeline.withIccProfile("srgb").withXmp(xmpWithNote(xmp, { recipe, inputs }));
  const encoded = await WRITERS[writer](told).toBuffer();
  try {
    await placeNew(encoded, to);
  } catch (thrown) {
    throw asSamescaleError(thrown, to);
  }
  const written = createHash("sha256").update(encoded).digest("hex");
  return { corrected: { file: to, sha256: written, inputs, recipe }, warnings };
}

type Pixels = { readonly widthPx: number; readonly heightPx: number; readonly rgb: Uint8Array };

const MORE_BITS = "the original holds more than 8 bits a channel; the corrected picture holds 8";

/** The corrected pixels laid over the original, so that its metadata go along. */
async function withMetadata(bytes: Buffer, picture: Pixels) {
  const pixels = Buffer.from(picture.rgb.buffer, picture.rgb.byteOffset, picture.rgb.byteLength);
  const raw = { width: picture.widthPx, height: picture.heightPx, channels: 3 as const };
  const original = () => sharp(bytes, { limitInputPixels: MAX_PIXELS }).autoOrient();
  try {
    const { autoOrient, depth, xmp } = await sharp(bytes, { limitInputPixels: MAX_PIXELS }).metadata();
    if (autoOrient.width === raw.width && autoOrient.height === raw.height) {
      const pipeline = original()
        .flatten()
        .toColourspace("srgb")
        .composite([{ input: pixels, raw, blend: "over" }])
        .keepMetadata();
      return { pipeline, xmp: xmp?.toString("utf8") ?? null, warnings: depth === "uchar" ? [] : [MORE_BITS] };
    }
  } catch {
    // HEIC and RAW are not read by this library: their pixels came another way.
  }
  const warning =
    "the corrected picture does not carry the original's metadata: its format keeps them elsewhere";
  return { pipeline: sharp(pixels, { raw }), xmp: null, warnings: [warning] };
}

/** Appears complete under its name, or not at all; an existing file is left alone. */
async function placeNew(content: Buffer, to: string): Promise<void> {
  const existing = await readFile(to).catch(() => null);
  if (existing?.equals(content)) return;
  const refused = () =>
    new SamescaleError(
      "CORRECTED_EXISTS",
      `A file of that name is there already and is not touched: ${to}`,
      "Choose another name, or remove that file first.",
    );
  if (existing) throw refused();
  const part = join(dirname(to), `.${basename(to)}.${randomUUID()}.part`);
  try {
    const handle = await open(part, "wx");
    try {
      await handle.writeFile(content);
      await handle.sync();
    } finally {
      await handle.close();
    }
    // A link, unlike a rename, fails when the name has been taken meanwhile.
    await link(part, to).catch(async (thrown: NodeJS.ErrnoException) => {
      if (thrown.code === "EEXIST") throw refused();
      if (await stat(to).catch(() => null)) throw refused();
      await rename(part, to);
    });
  } finally {
    await rm(part, { force: true });
  }
}
