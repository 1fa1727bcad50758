/**
 * A careful reader of TIFF directories: enough to tell a camera's RAW file from a plain TIFF, and to see what a
 * metadata block claims before a library is handed it. Counts and offsets in a file are not trusted: every loop
 * is bounded and every offset checked.
 * @source Tiff6, section 2
 */

const MAX_DIRECTORIES = 32;
const MAX_ENTRIES = 512;

const TAG = {
  imageWidth: 0x0100,
  imageLength: 0x0101,
  photometric: 0x0106,
  orientation: 0x0112,
  subDirectories: 0x014a,
  dngVersion: 0xc612,
} as const;

/** Colour filter array and demosaiced linear sensor values (TIFF/EP, DNG). */
const SENSOR_PHOTOMETRIC = [32803, 34892];

const SHORT = 3;

/** One entry as it lies in the file; `value` is its first value when that is stored in place, else an offset. */
export interface TiffEntry {
  readonly tag: number;
  readonly count: number;
  readonly value: number;
}

export interface TiffReader {
  /** Offset of the first directory, 0 when the bytes are no TIFF. */
  readonly first: number;
  u32(at: number): number;
  /** Entries of the directory at `start` and the offset of the next one; null when it lies outside. */
  directory(start: number): { readonly entries: readonly TiffEntry[]; readonly next: number } | null;
}

export function tiffReader(bytes: Buffer): TiffReader | null {
  const order = bytes.toString("latin1", 0, 2);
  if (bytes.length < 8 || (order !== "II" && order !== "MM")) return null;
  const little = order === "II";
  const u16 = (at: number) => (little ? bytes.readUInt16LE(at) : bytes.readUInt16BE(at));
  const u32 = (at: number) => (little ? bytes.readUInt32LE(at) : bytes.readUInt32BE(at));
  return {
    first: u32(4),
    u32,
    directory(start) {
      if (start < 8 || start + 2 > bytes.length) return null;
      const claimed = u16(start);
      const entries: TiffEntry[] = [];
      for (let i = 0; i < Math.min(claimed, MAX_ENTRIES); i++) {
        const at = start + 2 + 12 * i;
        if (at + 12 > bytes.length) break;
        const value = u16(at + 2) === SHORT ? u16(at + 8) : u32(at + 8);
        entries.push({ tag: u16(at), count: u32(at + 4), value });
      }
      const nextAt = start + 2 + 12 * claimed;
      return { entries, next: nextAt + 4 <= bytes.length ? u32(nextAt) : 0 };
    },
  };
}

export interface TiffDirectory {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly photometric: number;
  readonly orientation: number;
  readonly isDng: boolean;
}

/** Directories of the main chain and their sub-directories; an unreadable one ends its branch. */
export function tiffDirectories(bytes: Buffer): TiffDirectory[] {
  const reader = tiffReader(bytes);
  if (!reader) return [];
  const found: TiffDirectory[] = [];
  const seen = new Set<number>();
  const waiting = [reader.first];
  while (waiting.length > 0 && found.length < MAX_DIRECTORIES) {
    const start = waiting.shift()!;
    if (seen.has(start)) continue;
    seen.add(start);
    const read = reader.directory(start);
    if (!read) continue;
    const value = (tag: number) => read.entries.find((e) => e.tag === tag)?.value;
    const subs = read.entries.find((e) => e.tag === TAG.subDirectories);
    if (subs?.count === 1) waiting.push(subs.value);
    else if (subs) {
      for (let i = 0; i < Math.min(subs.count, MAX_DIRECTORIES); i++) {
        const at = subs.value + 4 * i;
        if (at + 4 <= bytes.length) waiting.push(reader.u32(at));
      }
    }
    waiting.push(read.next);
    found.push({
      widthPx: value(TAG.imageWidth) ?? 0,
      heightPx: value(TAG.imageLength) ?? 0,
      photometric: value(TAG.photometric) ?? -1,
      orientation: value(TAG.orientation) ?? 1,
      isDng: value(TAG.dngVersion) !== undefined,
    });
  }
  return found;
}

/** True for TIFF-structured files whose picture is sensor values. */
export function looksLikeRaw(bytes: Buffer): boolean {
  // "CR" after the header marks a RAW family whose first directory holds only a preview.
  if (bytes.toString("latin1", 8, 10) === "CR") return true;
  return tiffDirectories(bytes).some((d) => d.isDng || SENSOR_PHOTOMETRIC.includes(d.photometric));
}
