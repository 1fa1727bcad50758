import { isUtf8 } from "node:buffer";
import { SamescaleError } from "@samescale/errors";
import { looksLikeRaw } from "./tiff-directories.ts";

/** Picture formats that are read. What a file is called plays no part. */
export type PictureKind = "jpeg" | "png" | "tiff" | "webp" | "heif" | "raw";

/** Known by their first bytes but not read; named so that a person knows what to convert. */
const KNOWN_BUT_NOT_READ: readonly (readonly [name: string, starts: (bytes: Buffer) => boolean])[] = [
  ["a GIF picture", (b) => ascii(b, 0, 4) === "GIF8"],
  ["a BMP picture", (b) => ascii(b, 0, 2) === "BM" && b.length > 14 && b.readUInt32LE(6) === 0],
  ["a PDF document", (b) => ascii(b, 0, 5) === "%PDF-"],
  ["a Photoshop document", (b) => ascii(b, 0, 4) === "8BPS"],
  ["a JPEG 2000 picture", (b) => ascii(b, 4, 4) === "jP  " || hex(b, 0, 4) === "ff4fff51"],
  ["a JPEG XL picture", (b) => ascii(b, 4, 4) === "JXL " || hex(b, 0, 2) === "ff0a"],
  ["a DICOM object", (b) => ascii(b, 128, 4) === "DICM"],
  ["a zip archive", (b) => ascii(b, 0, 4) === "PK\u0003\u0004"],
  ["an AVIF picture", (b) => isBaseMedia(b) && brands(b).some((brand) => brand.startsWith("avi"))],
  ["a video", (b) => isBaseMedia(b) || ascii(b, 0, 4) === "RIFF" || hex(b, 0, 4) === "1a45dfa3"],
];

const HEIF_BRANDS = ["heic", "heix", "heim", "heis", "hevc", "hevx", "mif1", "msf1"];

/**
 * What a file is, by its content.
 * @throws SamescaleError PICTURE_FORMAT_UNKNOWN, PICTURE_FORMAT_NOT_READ
 */
export function pictureKind(bytes: Buffer, file: string): PictureKind {
  if (hex(bytes, 0, 3) === "ffd8ff") return "jpeg";
  if (hex(bytes, 0, 8) === "89504e470d0a1a0a") return "png";
  if (ascii(bytes, 0, 4) === "RIFF" && ascii(bytes, 8, 4) === "WEBP") return "webp";
  if (isTiff(bytes)) return looksLikeRaw(bytes) ? "raw" : "tiff";
  if (isOtherRaw(bytes)) return "raw";
  if (isBaseMedia(bytes)) {
    const named = brands(bytes);
    if (named[0] === "crx ") return "raw";
    // An AVIF file may carry the general brand mif1 as well.
    if (!named.some((b) => b.startsWith("avi")) && named.some((b) => HEIF_BRANDS.includes(b))) return "heif";
  }
  const known = KNOWN_BUT_NOT_READ.find(([, starts]) => starts(bytes));
  if (known) {
    throw new SamescaleError(
      "PICTURE_FORMAT_NOT_READ",
      `Expected JPEG, PNG, TIFF, WebP, HEIC or a camera's RAW format, the file is ${known[0]}: ${file}`,
      "Export it as TIFF, PNG or JPEG at full size.",
    );
  }
  throw new SamescaleError(
    "PICTURE_FORMAT_UNKNOWN",
    `The content is not a picture (${isText(bytes) ? "it is text" : "unknown first bytes"}): ${file}`,
    "Check that the file was copied whole; its name does not make it a picture.",
  );
}

const ascii = (b: Buffer, from: number, length: number) => b.toString("latin1", from, from + length);
const hex = (b: Buffer, from: number, length: number) => b.toString("hex", from, from + length);

function isTiff(b: Buffer): boolean {
  const start = hex(b, 0, 4);
  return start === "49492a00" || start === "4d4d002a" || start === "49492b00" || start === "4d4d002b";
}

/** RAW formats that do not begin like a TIFF: marks at the head of the file, as these formats define them. */
function isOtherRaw(b: Buffer): boolean {
  const start = ascii(b, 0, 4);
  return ["IIRO", "IIRS", "MMOR", "IIU\0", "\0MRM", "FOVb"].includes(start) || ascii(b, 8, 7) === "CCD-RAW";
}

const isBaseMedia = (b: Buffer) => ascii(b, 4, 4) === "ftyp";

/** Major brand first, then the compatible ones. */
function brands(b: Buffer): string[] {
  const end = Math.min(b.readUInt32BE(0), b.length, 256);
  const found = [ascii(b, 8, 4)];
  for (let at = 16; at + 4 <= end; at += 4) found.push(ascii(b, at, 4));
  return found;
}

function isText(b: Buffer): boolean {
  const head = b.subarray(0, 512);
  // Where the text was cut, that may have gone through a letter of several bytes.
  const cuts = b.length > head.length ? [0, 1, 2, 3] : [0];
  const letters = cuts.some((less) => isUtf8(head.subarray(0, head.length - less)));
  return letters && head.every((byte) => byte === 9 || byte === 10 || byte === 13 || byte >= 32);
}
