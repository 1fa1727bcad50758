import type { InfoAnswer } from "../answers.ts";
import { bytesOfFile, type FileBytes } from "../decode/bytes-of-file.ts";
import type { Size } from "../decode/fitting-size.ts";
import { jpegEnd, jpegHeader } from "../decode/jpeg-header.ts";
import { type PictureKind, pictureKind } from "../decode/picture-kind.ts";
import { type PictureSize, pictureSize, validOrientation } from "../decode/picture-size.ts";
import type { InfoInput } from "../pool/tasks.ts";
import { cleanText, firstNumber, isNumberList, positiveNumber } from "./clean-value.ts";
import type { TagName } from "./exif-tags.ts";
import { frameOf } from "./frame.ts";
import { exifTagsOf } from "./metadata-block.ts";
import { sensorWidthMm } from "./sensor-width.ts";
import { takenAt, takenAtFromXmp } from "./taken-at.ts";

type Warn = (said: string) => void;

/** What a hostile file can make us say is bounded as well. */
const MAX_WARNINGS = 40;

/**
 * What the file says of itself. What is absent, unreadable or implausible is null, never guessed; what was left
 * out or looks wrong is said in `warnings`. The hash is of the very bytes that were described.
 *
 * @throws SamescaleError as `decodePicture`, but that damage in the pixel data is not looked for
 */
export async function infoOfFile({ file }: InfoInput): Promise<InfoAnswer> {
  return await infoOfBytes(await bytesOfFile(file), file);
}

/** The same for bytes already read; `file` is named in errors. */
export async function infoOfBytes({ bytes, sha256 }: FileBytes, file: string): Promise<InfoAnswer> {
  const kind = pictureKind(bytes, file);
  const size = await pictureSize(bytes, kind, file);
  const tags = await exifTagsOf(bytes, kind, size.exif);
  const { values } = tags;
  const said = new Set([...size.warnings, ...tags.warnings]);
  const warn: Warn = (text) => said.add(text);

  const orientation = orientationOf(kind, size, values, warn);
  const stored = asStored(size, orientation);
  const answer = {
    file,
    format: kind === "heif" ? "heic" : kind,
    widthPx: size.widthPx,
    heightPx: size.heightPx,
    orientation,
    takenAt: takenAt(values, warn) ?? takenAtFromXmp(bytes, warn),
    make: cleanText(values.get("make"), "make", warn),
    model: cleanText(values.get("model"), "model", warn),
    lens:
      cleanText(values.get("lensModel"), "lens", warn) ??
      lensBySpecification(values.get("lensSpecification")),
    focalMm: positiveNumber(values.get("focalLength"), "focalMm", warn),
    fNumber: positiveNumber(values.get("fNumber"), "fNumber", warn),
    exposureS: positiveNumber(values.get("exposureTime"), "exposureS", warn),
    iso: isoOf(values, warn),
    flashFired: flashFiredOf(values, warn),
    subjectDistanceMm: subjectDistanceMmOf(values, warn),
    sensorWidthMm: sensorWidthMm(values, stored, warn),
    frame: frameOf(tags, stored, kind, warn),
    sha256,
    bytes: bytes.length,
  };
  if (kind === "jpeg" && !endsAsJpeg(bytes)) {
    warn("The file ends before the picture does: it was not copied or written completely.");
  }
  warnOfOtherSize(values, stored, warn);
  if (values.get("colorSpace") === 0xffff && !size.hasProfile) {
    warn("The colours are marked as not sRGB but no profile is embedded: they are taken as sRGB.");
  }
  return { ...answer, warnings: [...said].slice(0, MAX_WARNINGS) };
}

function orientationOf(
  kind: PictureKind,
  size: PictureSize,
  values: ReadonlyMap<TagName, unknown>,
  warn: Warn,
): number {
  const stated = values.get("orientation");
  const valid = validOrientation(stated);
  if (stated !== undefined && stated !== valid) {
    warn("orientation: the file's value is not one of 1 to 8; the picture is taken as upright.");
  }
  // In these two the picture is turned by its container or its developer; the tag says how the camera was held.
  return kind === "heif" || kind === "raw" ? valid : size.orientation;
}

/** The picture as the sensor's rows lay, which is what the metadata speak of. */
const asStored = ({ widthPx, heightPx }: Size, orientation: number): Size =>
  orientation >= 5 ? { widthPx: heightPx, heightPx: widthPx } : { widthPx, heightPx };

/** Exif packs the range of focal lengths and of smallest f-numbers: `24-70 mm f/2.8`. */
function lensBySpecification(value: unknown): string | null {
  if (!isNumberList(value) || value.length !== 4) return null;
  const [shortMm, longMm, shortF, longF] = Array.from(value, (n) => (Number.isFinite(n) && n > 0 ? n : null));
  if (!shortMm || !longMm) return null;
  const short = (n: number) => String(Math.round(n * 10) / 10);
  const range = (a: number, b: number) => (short(a) === short(b) ? short(a) : `${short(a)}-${short(b)}`);
  return `${range(shortMm, longMm)} mm${shortF && longF ? ` f/${range(shortF, longF)}` : ""}`;
}

/** 65535 is the largest the old tag can hold and stands for "see the newer tags". */
const ISO_TAG_FULL = 65535;

function isoOf(values: ReadonlyMap<TagName, unknown>, warn: Warn): number | null {
  const iso = positiveNumber(values.get("photographicSensitivity"), "iso", warn);
  if (iso !== ISO_TAG_FULL) return iso;
  const newer = (["isoSpeed", "recommendedExposureIndex", "standardOutputSensitivity"] as const)
    .map((name) => positiveNumber(values.get(name), "iso", warn))
    .find((value) => value !== null);
  if (newer === undefined)
    warn("iso: the file says 65535, which stands for a value kept elsewhere; it is not there.");
  return newer ?? null;
}

/** The tag has seven bits; bit 0 says whether the flash fired. */
function flashFiredOf(values: ReadonlyMap<TagName, unknown>, warn: Warn): boolean | null {
  const flash = firstNumber(values.get("flash"), "flashFired", warn);
  if (flash === null) return null;
  if (!Number.isInteger(flash) || flash < 0 || flash > 0x7f) {
    warn(`flashFired: ${flash} is not a value of the tag; not used.`);
    return null;
  }
  return (flash & 1) === 1;
}

/** Written as metres; 0 means unknown, and all bits set infinity, whatever the denominator. */
const FARTHEST_MM = 1e8;

function subjectDistanceMmOf(values: ReadonlyMap<TagName, unknown>, warn: Warn): number | null {
  const metres = positiveNumber(values.get("subjectDistance"), "subjectDistanceMm", warn);
  if (metres === null) return null;
  const mm = Math.round(metres * 1e6) / 1000;
  return mm < FARTHEST_MM ? mm : null;
}

/** A size that differs from what the camera wrote tells of cropping or resizing since. */
function warnOfOtherSize(values: ReadonlyMap<TagName, unknown>, stored: Size, warn: Warn): void {
  const cameraWidthPx = positiveNumber(values.get("pixelXDimension"), "picture width", warn);
  const cameraHeightPx = positiveNumber(values.get("pixelYDimension"), "picture height", warn);
  if (cameraWidthPx === null || cameraHeightPx === null) return;
  const sides = [stored.widthPx, stored.heightPx];
  const same = sides.includes(cameraWidthPx) && sides.includes(cameraHeightPx);
  if (!same) {
    warn(
      `The metadata speak of ${cameraWidthPx} x ${cameraHeightPx} px, the file has ${sides.join(" x ")}: resized or cropped since.`,
    );
  }
}

/** True unless the first picture in a JPEG file lacks its end; what may follow it is not looked at. */
function endsAsJpeg(bytes: Buffer): boolean {
  const header = jpegHeader(bytes, 0);
  return header === null || jpegEnd(bytes, header.dataAt) > 0;
}
