/**
 * A careful reader of TIFF directories, only as far as telling a camera's RAW file from a plain TIFF needs it.
 * Counts and offsets in a file are not trusted: every loop is bounded and every offset checked.
 */

const MAX_DIRECTORIES = 32;
const MAX_ENTRIES = 512;

const TAG = {
  imageWidth: 0x0100,
  imageLength: 0x0101,
  photometric: 0x0106,
  compression: 0x0103,
  orientation: 0x0112,
  subDirectories: 0x014a,
  dngVersion: 0xc612,
} as const;

/** Colour filter array and demosaiced linear sensor values (TIFF/EP, DNG). */
const SENSOR_PHOTOMETRIC = [32803, 34892];

export interface TiffDirectory {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly photometric: number;
  readonly compression: number;
  readonly orientation: number;
  readonly isDng: boolean;
}

/** Directories of the main chain and their sub-directories; an unreadable one ends its branch. */
export function tiffDirectories(bytes: Buffer): TiffDirectory[] {
  if (bytes.length < 8) return [];
  const order = bytes.toString("latin1", 0, 2);
  if (order !== "II" && order !== "MM") return [];
  const little = order === "II";
  const u16 = (at: number) => (little ? bytes.readUInt16LE(at) : bytes.readUInt16BE(at));
  const u32 = (at: number) => (little ? bytes.readUInt32LE(at) : bytes.readUInt32BE(at));
  const found: TiffDirectory[] = [];
  const seen = new Set<number>();
  const waiting = [u32(4)];
  while (waiting.length > 0 && found.length < MAX_DIRECTORIES) {
    const start = waiting.shift()!;
    if (start === 0 || seen.has(start) || start + 2 > bytes.length) continue;
    seen.add(start);
    const count = Math.min(u16(start), MAX_ENTRIES);
    const values = new Map<number, number>();
    for (let i = 0; i < count; i++) {
      const at = start + 2 + 12 * i;
      if (at + 12 > bytes.length) break;
      const tag = u16(at);
      const isShort = u16(at + 2) === 3;
      if (tag === TAG.subDirectories) {
        const subs = Math.min(u32(at + 4), MAX_DIRECTORIES);
        const list = subs === 1 ? at + 8 : u32(at + 8);
        for (let s = 0; s < subs && list + 4 * s + 4 <= bytes.length; s++) waiting.push(u32(list + 4 * s));
      } else values.set(tag, isShort ? u16(at + 8) : u32(at + 8));
    }
    const next = start + 2 + 12 * count;
    if (next + 4 <= bytes.length) waiting.push(u32(next));
    found.push({
      widthPx: values.get(TAG.imageWidth) ?? 0,
      heightPx: values.get(TAG.imageLength) ?? 0,
      photometric: values.get(TAG.photometric) ?? -1,
      compression: values.get(TAG.compression) ?? 1,
      orientation: values.get(TAG.orientation) ?? 1,
      isDng: values.has(TAG.dngVersion),
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
