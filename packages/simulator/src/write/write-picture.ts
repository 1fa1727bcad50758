import { rename, rm, writeFile } from "node:fs/promises";
import { asSamescaleError } from "@samescale/errors";
import sharp, { type Exif, type Sharp } from "sharp";
import type { Camera } from "../camera/camera.ts";
import type { Picture } from "../render/render-picture.ts";

export interface WriteOptions {
  readonly format?: "jpeg" | "png" | "tiff";
  /** Write `PATH.truth.json` beside the picture. */
  readonly truth?: boolean;
}

/**
 * Writes a picture as the camera would: its EXIF, its orientation, the sRGB profile; and the truth beside it when
 * asked. A TIFF carries its orientation only: the library writes no EXIF into it.
 */
export async function writePicture(
  path: string,
  picture: Picture,
  camera: Camera,
  options: WriteOptions = {},
): Promise<void> {
  await writeWhole(path, await encodePicture(picture, camera, options.format ?? formatOf(path)));
  if (options.truth) await writeWhole(`${path}.truth.json`, `${JSON.stringify(picture.truth)}\n`);
}

/** The file is whole or absent, also when the writing is cut off. */
async function writeWhole(path: string, content: Buffer | string): Promise<void> {
  const part = `${path}.part`;
  try {
    await writeFile(part, content);
    await rename(part, path);
  } catch (thrown) {
    await rm(part, { force: true }).catch(() => {}); // what went wrong first is what counts
    throw asSamescaleError(thrown, path);
  }
}

function formatOf(path: string): "jpeg" | "png" | "tiff" {
  if (/\.png$/i.test(path)) return "png";
  return /\.tiff?$/i.test(path) ? "tiff" : "jpeg";
}

/** The file's bytes. */
export async function encodePicture(
  picture: Picture,
  camera: Camera,
  format: "jpeg" | "png" | "tiff" = "jpeg",
): Promise<Buffer> {
  const raw = { width: picture.widthPx, height: picture.heightPx, channels: 3 as const };
  const stored = turnedForOrientation(
    sharp(picture.rgb, { raw, limitInputPixels: false }),
    camera.orientation,
  );
  const withTags = stored
    .withMetadata({ orientation: camera.orientation, density: 300 })
    .withExifMerge(exifOf(camera));
  if (format === "png") return withTags.png({ compressionLevel: 3 }).toBuffer();
  if (format === "tiff") return withTags.tiff({ compression: "lzw" }).toBuffer();
  return withTags
    .jpeg({ quality: camera.jpegQuality, chromaSubsampling: camera.jpegQuality >= 90 ? "4:4:4" : "4:2:0" })
    .toBuffer();
}

/** Stores the upright pixels so that a reader who obeys the tag sees them upright again. @source EXIF232 */
function turnedForOrientation(image: Sharp, orientation: number): Sharp {
  switch (orientation) {
    case 2:
      return image.flop();
    case 3:
      return image.rotate(180);
    case 4:
      return image.flip();
    case 5:
      return image.flop().rotate(270); // the library mirrors first, whatever the order here
    case 6:
      return image.rotate(270);
    case 7:
      return image.flop().rotate(90);
    case 8:
      return image.rotate(90);
    default:
      return image;
  }
}

function exifOf(camera: Camera): Exif {
  const resolution = (pixels: number, mm: number): string =>
    `${Math.round((pixels / mm) * 25.4 * 1000)}/1000`;
  return {
    IFD0: {
      Make: camera.make,
      Model: camera.model,
      DateTime: camera.takenAt,
    },
    IFD2: {
      ExposureTime: `10/${Math.round(10 / camera.exposureS)}`,
      FNumber: `${Math.round(camera.fNumber * 10)}/10`,
      ISOSpeedRatings: String(camera.iso),
      DateTimeOriginal: camera.takenAt,
      DateTimeDigitized: camera.takenAt,
      Flash: camera.flashFired ? "1" : "0",
      FocalLength: `${Math.round(camera.focalMm * 10)}/10`,
      ColorSpace: "1",
      FocalPlaneXResolution: resolution(camera.widthPx, camera.sensorMm.width),
      FocalPlaneYResolution: resolution(camera.heightPx, camera.sensorMm.height),
      FocalPlaneResolutionUnit: "2",
      BodySerialNumber: camera.serial,
      LensModel: camera.lensModel,
    },
  };
}
