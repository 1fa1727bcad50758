/** What the head of a JPEG stream says, as far as its first scan. */
export interface JpegHeader {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Lossless JPEG is how some cameras pack sensor values; it is not a picture. */
  readonly lossless: boolean;
  /** Where the compressed data of the first scan begin. */
  readonly dataAt: number;
}

const MAX_SEGMENTS = 1000;

/**
 * Walks the marker segments from a start-of-image at `from`; null where they do not form a JPEG head.
 * @source JpegT81, annex B
 */
export function jpegHeader(bytes: Buffer, from: number): JpegHeader | null {
  let at = from + 2;
  let frame: { widthPx: number; heightPx: number; lossless: boolean } | null = null;
  for (let segment = 0; segment < MAX_SEGMENTS && at + 4 <= bytes.length; segment++) {
    if (bytes[at] !== 0xff) return null;
    const marker = bytes[at + 1]!;
    if (marker === 0xff) {
      at++; // fill byte
      continue;
    }
    const length = bytes.readUInt16BE(at + 2);
    if (length < 2) return null;
    const isFrame = marker >= 0xc0 && marker <= 0xcf && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc;
    if (isFrame && at + 9 <= bytes.length) {
      frame = {
        heightPx: bytes.readUInt16BE(at + 5),
        widthPx: bytes.readUInt16BE(at + 7),
        lossless: (marker & 3) === 3,
      };
    }
    if (marker === 0xda) return frame && { ...frame, dataAt: at + 2 + length };
    at += 2 + length;
  }
  return null;
}

const END_OF_IMAGE = Buffer.from([0xff, 0xd9]);

/** Just behind the end-of-image of the stream whose data begin at `dataAt`; -1 when it is cut off. */
export function jpegEnd(bytes: Buffer, dataAt: number): number {
  // Within compressed data 0xff is followed by 0x00 or a restart, so the first match is the mark itself.
  const at = bytes.indexOf(END_OF_IMAGE, dataAt);
  return at < 0 ? -1 : at + 2;
}
