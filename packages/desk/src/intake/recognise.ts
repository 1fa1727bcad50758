/** What the first bytes of a file say it is. What it is called plays no part. */
export type Recognised =
  | { readonly kind: "picture"; readonly format: string; readonly isRaw: boolean }
  | { readonly kind: "video"; readonly format: string }
  | { readonly kind: "other"; readonly what: string; readonly empty: boolean };

/** As many of the first bytes as `recognise` looks at. */
export const HEAD_BYTES = 512;

type Rule = readonly [starts: (head: Buffer) => boolean, format: string];

const at = (offset: number, hex: string) => (head: Buffer) =>
  head.toString("hex", offset, offset + hex.length / 2) === hex;
const text = (offset: number, words: string) => at(offset, Buffer.from(words, "latin1").toString("hex"));
const both = (one: Rule[0], other: Rule[0]) => (head: Buffer) => one(head) && other(head);

/** ISO base media files (ISO/IEC 14496-12) name what they are in their first box. */
const baseMedia = (...brands: string[]) =>
  both(text(4, "ftyp"), (head) => brands.some((b) => text(8, b)(head)));

/** RAW formats with marks of their own; most are TIFF inside and told apart by their name (see below). */
const RAW: readonly Rule[] = [
  [at(0, "49495500"), "raw"],
  [at(0, "4949524f"), "raw"],
  [at(0, "49495253"), "raw"],
  [at(0, "4d4d4f52"), "raw"],
  [at(0, "46554a4946494c4d"), "raw"],
  [at(0, "464f5662"), "raw"],
  [at(0, "004d524d"), "raw"],
  [both(at(0, "4949"), text(6, "HEAPCCDR")), "raw"],
  [baseMedia("crx "), "raw"],
];

const PICTURES: readonly Rule[] = [
  [at(0, "ffd8ff"), "jpeg"],
  [at(0, "89504e470d0a1a0a"), "png"],
  [at(0, "49492a00"), "tiff"],
  [at(0, "4d4d002a"), "tiff"],
  [at(0, "49492b00"), "tiff"],
  [at(0, "4d4d002b"), "tiff"],
  [baseMedia("heic", "heix", "heim", "heis", "hevc", "hevx", "mif1", "msf1"), "heif"],
  [baseMedia("avif", "avis"), "avif"],
  [both(text(0, "RIFF"), text(8, "WEBP")), "webp"],
  [at(0, "0000000c6a5020200d0a870a"), "jpeg2000"],
  [at(0, "ff4fff51"), "jpeg2000"],
  [at(0, "0000000c4a584c200d0a870a"), "jpegxl"],
  [at(0, "ff0a"), "jpegxl"],
  [text(0, "GIF8"), "gif"],
];

/** Packets of an MPEG transport stream begin with one byte; alone it says little, three at their distance do. */
const packets = (first: number, length: number) => (head: Buffer) =>
  [0, 1, 2].every((nth) => head[first + nth * length] === 0x47);

const VIDEOS: readonly Rule[] = [
  [baseMedia("qt  "), "mov"],
  [text(4, "ftyp"), "mp4"],
  [text(4, "moov"), "mov"],
  [text(4, "mdat"), "mov"],
  [both(text(0, "RIFF"), text(8, "AVI ")), "avi"],
  [at(0, "1a45dfa3"), "matroska"],
  [at(0, "000001ba"), "mpeg"],
  [packets(0, 188), "mpeg-ts"],
  [packets(4, 192), "mpeg-ts"],
];

const OTHERS: readonly Rule[] = [
  [both(text(0, "RIFF"), text(8, "WAVE")), "a sound recording"],
  [text(0, "ID3"), "a sound recording"],
  [text(0, "%PDF-"), "a PDF document"],
  [text(0, "PK\u0003\u0004"), "an archive"],
  [text(0, "<?xpacket"), "a sidecar with settings"],
  [text(0, "<x:xmpmeta"), "a sidecar with settings"],
];

/**
 * Recognises pictures and videos of all kinds that cameras write, also those that cannot be decoded here: what is not
 * understood is kept as well.
 *
 * @param head the first `HEAD_BYTES` of the file, fewer when it is shorter
 * @param name tells a camera's RAW from a plain TIFF where both begin alike
 */
export function recognise(head: Buffer, name: string): Recognised {
  if (head.length === 0) return { kind: "other", what: "empty (0 bytes)", empty: true };
  if (RAW.some(([starts]) => starts(head))) return { kind: "picture", format: "raw", isRaw: true };
  const format = PICTURES.find(([starts]) => starts(head))?.[1];
  if (format === "tiff" && !/\.tiff?$/i.test(name)) return { kind: "picture", format: "raw", isRaw: true };
  if (format !== undefined) return { kind: "picture", format, isRaw: false };
  const video = VIDEOS.find(([starts]) => starts(head))?.[1];
  if (video !== undefined) return { kind: "video", format: video };
  const other = OTHERS.find(([starts]) => starts(head))?.[1];
  const what = other ?? (looksLikeText(head) ? "text" : "of a kind that is not known");
  return { kind: "other", what, empty: false };
}

/** No control characters but tabs and ends of lines. */
function looksLikeText(head: Buffer): boolean {
  return head.every((byte) => byte >= 0x20 || byte === 0x09 || byte === 0x0a || byte === 0x0d);
}
