import { readFile } from "node:fs/promises";
import { SamescaleError } from "@samescale/errors";
import { jpegEnd, jpegHeader } from "./jpeg-header.ts";
import { MAX_PIXELS, tooLarge } from "./sharp.ts";
import { tiffDirectories } from "./tiff-directories.ts";
import { uncompressedTiff } from "./uncompressed-tiff.ts";

/** A preview this near to the sensor's own side counts as the picture: cameras trim some border pixels. */
const FULL_SIZE_SHARE = 0.9;
/** Where the sensor's size is not found, a preview of this many pixels is taken for the full picture. */
const FULL_SIZE_PIXELS = 6_000_000;
/** Below this a preview is a thumbnail, and measuring in it would be a mistake. */
const LEAST_PIXELS = 1_000_000;
const MAX_PREVIEWS = 1000;

/** The picture of a RAW file, and how it has to be turned. */
export interface RawPicture {
  readonly bytes: Buffer;
  /** Null: as the bytes themselves say. */
  readonly orientation: number | null;
  readonly warnings: readonly string[];
}

/**
 * The camera's own full-size JPEG inside the RAW file where there is one: it is fast and is what the camera
 * showed. Otherwise the sensor values are developed (camera white balance, sRGB, no automatic brightening, so
 * that two visits are developed alike).
 *
 * @throws SamescaleError RAW_NOT_READ when there is neither
 */
export async function rawPicture(bytes: Buffer, file: string): Promise<RawPicture> {
  return await fromPreviewOrSensor(bytes, file, {
    preview: (preview, warnings) => ({ bytes: preview.bytes, orientation: rawOrientation(bytes), warnings }),
    sensor: async (raw) => ({ bytes: develop(raw), orientation: 1, warnings: [] }),
  });
}

export interface RawSize {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Sizes are before it is applied; 1 for a developed picture, which is upright; null: as the preview says. */
  readonly orientation: number | null;
  /** The preview that is the picture, which may carry metadata of its own. */
  readonly preview: Buffer | null;
  readonly warnings: readonly string[];
}

/** The size of what `rawPicture` gives, without developing it. */
export async function rawSize(bytes: Buffer, file: string): Promise<RawSize> {
  return await fromPreviewOrSensor<RawSize>(bytes, file, {
    preview: ({ widthPx, heightPx, bytes: preview }, warnings) => {
      return { widthPx, heightPx, orientation: rawOrientation(bytes), preview, warnings };
    },
    sensor: async (raw) => {
      const { width: widthPx, height: heightPx } = raw.metadata(false);
      return { widthPx, heightPx, orientation: 1, preview: null, warnings: [] };
    },
  });
}

async function fromPreviewOrSensor<T>(
  bytes: Buffer,
  file: string,
  take: {
    preview(preview: Preview, warnings: readonly string[]): T;
    sensor(raw: LibRaw): Promise<T>;
  },
): Promise<T> {
  const preview = largestPreview(bytes);
  if (preview && isFullSize(preview, sensorSize(bytes))) return take.preview(preview, []);
  try {
    return await withSensorData(bytes, file, take.sensor);
  } catch (thrown) {
    if (thrown instanceof SamescaleError) throw thrown;
    if (preview && preview.widthPx * preview.heightPx >= LEAST_PIXELS) {
      const said = `The sensor's data could not be developed; this is the preview of ${preview.widthPx} x ${preview.heightPx} px inside the file.`;
      return take.preview(preview, [said]);
    }
    throw new SamescaleError(
      "RAW_NOT_READ",
      `The RAW file's sensor data could not be developed and it holds no usable preview: ${file}`,
      "Use the JPEG of the same frame, or convert the RAW file to TIFF or DNG with the camera's own program.",
      { cause: thrown },
    );
  }
}

interface Preview {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly bytes: Buffer;
}

const START_OF_IMAGE = Buffer.from([0xff, 0xd8, 0xff]);

/** The largest complete JPEG picture anywhere in the file, whatever the container. */
function largestPreview(bytes: Buffer): Preview | null {
  let best: Preview | null = null;
  let at = bytes.indexOf(START_OF_IMAGE);
  for (let tried = 0; at >= 0 && tried < MAX_PREVIEWS; tried++) {
    const header = jpegHeader(bytes, at);
    const size = header && !header.lossless ? header.widthPx * header.heightPx : 0;
    if (header && size > (best ? best.widthPx * best.heightPx : 0)) {
      const end = jpegEnd(bytes, header.dataAt);
      const { widthPx, heightPx } = header;
      if (end > 0) best = { widthPx, heightPx, bytes: bytes.subarray(at, end) };
    }
    at = bytes.indexOf(START_OF_IMAGE, at + START_OF_IMAGE.length);
  }
  return best;
}

function sensorSize(bytes: Buffer): { widthPx: number; heightPx: number } | null {
  let best: { widthPx: number; heightPx: number } | null = null;
  for (const d of tiffDirectories(bytes)) {
    if (d.widthPx * d.heightPx > (best ? best.widthPx * best.heightPx : 0)) best = d;
  }
  return best;
}

function isFullSize(preview: Preview, sensor: { widthPx: number; heightPx: number } | null): boolean {
  if (!sensor) return preview.widthPx * preview.heightPx >= FULL_SIZE_PIXELS;
  const long = Math.max(sensor.widthPx, sensor.heightPx);
  return Math.max(preview.widthPx, preview.heightPx) >= FULL_SIZE_SHARE * long;
}

/** The first directory's orientation; previews are stored as the sensor lay. */
function rawOrientation(bytes: Buffer): number | null {
  const start = boxedDirectory(bytes, "CMT1") ?? bytes;
  return tiffDirectories(start)[0]?.orientation ?? null;
}

/**
 * Boxed RAW files keep each metadata directory as a TIFF of its own: `CMT1` is the main one, `CMT2` the one with
 * the exposure. Null where there is no such box.
 */
export function boxedDirectory(bytes: Buffer, name: "CMT1" | "CMT2"): Buffer | null {
  if (bytes.toString("latin1", 4, 8) !== "ftyp") return null;
  const at = bytes.indexOf(name, 0, "latin1");
  if (at < 4) return null;
  const end = at - 4 + bytes.readUInt32BE(at - 4);
  return end > at + 4 && end <= bytes.length ? bytes.subarray(at + 4, end) : null;
}

/** What is used of libraw-wasm's inner module; its own entry works in browsers only. */
interface LibRaw {
  open(bytes: Uint8Array, settings: Readonly<Record<string, unknown>>): void;
  metadata(full: boolean): { readonly width: number; readonly height: number };
  imageData(): { width: number; height: number; colors: number; bits: number; data: Uint8Array } | undefined;
  delete(): void;
}

async function withSensorData<T>(bytes: Buffer, file: string, use: (raw: LibRaw) => Promise<T>): Promise<T> {
  const inner = new URL("libraw.js", import.meta.resolve("libraw-wasm"));
  const { default: load } = (await import(inner.href)) as {
    default: (options: object) => Promise<{ LibRaw: new () => LibRaw }>;
  };
  const wasmBinary = await readFile(new URL("libraw.wasm", inner));
  // A fresh instance for each file: its memory only grows, and goes with it.
  const module = await load({ wasmBinary, print: () => {}, printErr: () => {} });
  const raw = new module.LibRaw();
  try {
    raw.open(bytes, { outputBps: 8, outputColor: 1, useCameraWb: true, noAutoBright: true });
    const { width, height } = raw.metadata(false);
    if (width * height > MAX_PIXELS) throw tooLarge(file, { widthPx: width, heightPx: height });
    if (width * height === 0) throw new Error("no picture inside");
    return await use(raw);
  } finally {
    raw.delete();
  }
}

function develop(raw: LibRaw): Buffer {
  const image = raw.imageData();
  if (!image?.data || image.colors !== 3 || image.bits !== 8) throw new Error("no picture developed");
  return uncompressedTiff({
    widthPx: image.width,
    heightPx: image.height,
    channels: 3,
    pixels: image.data,
  });
}
