import { bytesOfFile } from "../decode/bytes-of-file.ts";
import { validOrientation } from "../decode/picture-size.ts";
import { sharp } from "../decode/sharp.ts";

export type JpegAsCoded = { readonly jpeg: Uint8Array; readonly widthPx: number; readonly heightPx: number };

/**
 * The picture's own JPEG coding, bit for bit, without what stands around it: segments of metadata, comments, previews and
 * whatever follows the end are left out; the colour profile and the note of the colour coding stay. Null for what is no
 * JPEG that runs from its start to its end, or is stored turned.
 * @source JpegT81, annex B
 */
export async function jpegAsCoded(input: {
  readonly file: string;
  readonly sha256: string;
}): Promise<JpegAsCoded | null> {
  const { bytes, sha256 } = await bytesOfFile(input.file);
  const bare = sha256 === input.sha256 ? bareJpeg(bytes) : null;
  if (bare === null) return null;
  const { orientation } = await sharp(bytes).metadata();
  if (validOrientation(orientation) !== 1) return null;
  const { width, height, format } = await sharp(bare).metadata();
  return format === "jpeg" ? { jpeg: bare, widthPx: width, heightPx: height } : null;
}

const START = Buffer.from([0xff, 0xd8]);
const END = Buffer.from([0xff, 0xd9]);
/** A plain JFIF head: version 1.01, square pixels, no preview. @source JfifT871 */
const JFIF = Buffer.from("ffe000104a46494600010100000100010000", "hex");

/** Null where the segments do not form a whole JPEG stream. */
export function bareJpeg(bytes: Buffer): Buffer | null {
  if (!bytes.subarray(0, 2).equals(START)) return null;
  const kept: Buffer[] = [START];
  let scans = 0;
  for (let at = 2; at + 4 <= bytes.length; ) {
    if (bytes[at] !== 0xff) return null;
    const marker = bytes[at + 1]!;
    if (marker === 0xff) {
      at++; // fill byte
      continue;
    }
    if (marker === 0xd9) return scans > 0 ? Buffer.concat([...kept, END]) : null;
    const end = at + 2 + bytes.readUInt16BE(at + 2);
    if (end < at + 4 || end > bytes.length) return null;
    const segment = bytes.subarray(at, end);
    const keeps = keepsSegment(marker, segment);
    if (keeps) kept.push(marker === 0xe0 ? JFIF : segment);
    at = end;
    if (marker !== 0xda) continue;
    const scanEnd = endOfScan(bytes, at);
    if (scanEnd < 0) return null;
    kept.push(bytes.subarray(at, scanEnd));
    at = scanEnd;
    scans++;
    if (bytes[at + 1] === 0xd9) return Buffer.concat([...kept, END]);
  }
  return null;
}

/** Tables, frames and scans; of the application segments the JFIF head, the colour profile, and the colour coding. */
function keepsSegment(marker: number, segment: Buffer): boolean {
  if (marker === 0xfe) return false;
  if (marker < 0xe0 || marker > 0xef) return true;
  const says = (text: string) => segment.toString("latin1", 4, 4 + text.length) === text;
  return (
    (marker === 0xe0 && says("JFIF\0")) ||
    (marker === 0xe2 && says("ICC_PROFILE\0")) ||
    (marker === 0xee && says("Adobe") && segment.length === 16)
  );
}

/** Where the coded data of a scan end: at the first mark that is neither a stuffed zero nor a restart. */
function endOfScan(bytes: Buffer, from: number): number {
  for (
    let at = bytes.indexOf(0xff, from);
    at >= 0 && at + 1 < bytes.length;
    at = bytes.indexOf(0xff, at + 1)
  ) {
    const next = bytes[at + 1]!;
    if (next === 0xff) continue;
    if (next !== 0 && !(next >= 0xd0 && next <= 0xd7)) return at;
  }
  return -1;
}
