/** Reads bytes of a file from an offset; fewer where the file ends. */
export type ReadAt = (at: number, bytes: number) => Promise<Buffer>;

/**
 * Whether a picture file ends as its format says, without decoding it. False also where the format has no end that
 * could be looked for: then only its stillness tells.
 *
 * @param format as `recognise` names it
 * @source JpegT81, B.1.1.3: the marker EOI
 * @source PNG3, section 11.2: the chunk IEND
 * @source Tiff6, section 2: directories
 * @source ISO14496-12, section 4.2: boxes
 */
export async function endsWhole(format: string, read: ReadAt, sizeBytes: number): Promise<boolean> {
  const head = await read(0, 16);
  const start = head.toString("latin1");
  if (format === "jpeg" || start.startsWith("\xff\x4f\xff\x51")) return await endsWithMarker(read, sizeBytes);
  if (format === "png")
    return (await tail(read, sizeBytes, 12)).toString("hex") === "0000000049454e44ae426082";
  if (format === "gif") return (await tail(read, sizeBytes, 1))[0] === 0x3b;
  if (format === "webp") return head.length >= 8 && head.readUInt32LE(4) + 8 <= sizeBytes;
  if (/^(ftyp|jP {2}|JXL )/.test(start.slice(4))) return await boxesFill(read, sizeBytes);
  // A camera's RAW is built like a TIFF, under this mark or another; the larger sort (BigTIFF) is not walked.
  if (/^(II(?!\+)|MM(?!\0\+))/.test(start))
    return await directoriesFit(read, sizeBytes, start.startsWith("II"));
  return false;
}

const tail = (read: ReadAt, sizeBytes: number, bytes: number) => read(Math.max(0, sizeBytes - bytes), bytes);

/** Zeros behind the end that cameras fill a sector up with. */
const PADDING_BYTES = 4096;

/** JPEG and JPEG 2000 codestreams end with the marker FF D9. */
async function endsWithMarker(read: ReadAt, sizeBytes: number): Promise<boolean> {
  const end = await tail(read, sizeBytes, PADDING_BYTES);
  let last = end.length - 1;
  while (last > 0 && end[last] === 0) last--;
  return last > 0 && end[last - 1] === 0xff && end[last] === 0xd9;
}

const MOST_BOXES = 256;

/** The boxes of an ISO base media file (also of JPEG 2000 and JPEG XL) lie one behind the other up to its end. */
async function boxesFill(read: ReadAt, sizeBytes: number): Promise<boolean> {
  let at = 0;
  for (let n = 0; n < MOST_BOXES && at < sizeBytes; n++) {
    const box = await read(at, 16);
    if (box.length < 8) return false;
    const size = box.readUInt32BE(0);
    if (size === 0) return true; // up to the end of the file, wherever that is
    if (size === 1 && box.length < 16) return false;
    const bytes = size === 1 ? Number(box.readBigUInt64BE(8)) : size;
    if (bytes < 8) return false;
    at += bytes;
  }
  return at === sizeBytes;
}

const MOST_DIRECTORIES = 32;
const MOST_ENTRIES = 512;
const MOST_STRIPS = 65_536;
/** Width of a value by its type, 1 to 13. */
const BYTES_OF_TYPE = [0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8, 4];
/** Where data lie and how long they are: strips, tiles, a preview. */
const DATA_TAGS = [
  [273, 279],
  [324, 325],
  [513, 514],
] as const;
const SUB_DIRECTORIES_TAG = 330;

/** Every directory, and all picture data they speak of, lie within the file. */
async function directoriesFit(read: ReadAt, sizeBytes: number, isLittle: boolean): Promise<boolean> {
  const number = (bytes: Buffer, at: number, width: number) =>
    isLittle ? bytes.readUIntLE(at, width) : bytes.readUIntBE(at, width);
  const header = await read(0, 8);
  if (header.length < 8) return false;
  const waiting = [number(header, 4, 4)];
  const seen = new Set<number>([0]);
  let hasData = false;
  while (waiting.length > 0) {
    const start = waiting.shift() as number;
    if (seen.has(start)) continue;
    seen.add(start);
    if (seen.size > MOST_DIRECTORIES) return false;
    const bytes = await read(start, 2 + 12 * MOST_ENTRIES + 4);
    if (bytes.length < 2) return false;
    const entries = number(bytes, 0, 2);
    const end = 2 + 12 * entries;
    if (entries > MOST_ENTRIES || bytes.length < end + 4) return false;

    const values = new Map<number, { readonly at: number; readonly width: number; readonly count: number }>();
    for (let at = 2; at < end; at += 12) {
      const width = BYTES_OF_TYPE[number(bytes, at + 2, 2)] ?? 0;
      const count = number(bytes, at + 4, 4);
      const inPlace = width * count <= 4;
      const lieAt = inPlace ? start + at + 8 : number(bytes, at + 8, 4);
      if (lieAt + width * count > sizeBytes) return false;
      values.set(number(bytes, at, 2), { at: lieAt, width, count });
    }
    /** Offsets and lengths under a tag; none when it is missing; null when they cannot be such. */
    const listOf = async (tag: number): Promise<number[] | null> => {
      const { at, width, count } = values.get(tag) ?? { at: 0, width: 4, count: 0 };
      if ((width !== 2 && width !== 4) || count > MOST_STRIPS) return null;
      const list = await read(at, width * count);
      if (list.length < width * count) return null;
      return Array.from({ length: count }, (_, i) => number(list, i * width, width));
    };

    for (const [offsetsTag, lengthsTag] of DATA_TAGS) {
      const offsets = await listOf(offsetsTag);
      const lengths = await listOf(lengthsTag);
      if (offsets === null || lengths === null || offsets.length !== lengths.length) return false;
      if (offsets.some((offset, i) => offset + (lengths[i] as number) > sizeBytes)) return false;
      if (offsets.length > 0) hasData = true;
    }
    const below = await listOf(SUB_DIRECTORIES_TAG);
    if (below === null) return false;
    waiting.push(...below, number(bytes, end, 4));
  }
  return hasData;
}
