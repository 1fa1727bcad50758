import exifr from "exifr";
import { type TiffEntry, tiffReader } from "../decode/tiff-directories.ts";

/** The tags that are read, by their codes. @source EXIF232, tables 3 to 9 */
export const TAG = {
  imageWidth: 0x0100,
  imageLength: 0x0101,
  make: 0x010f,
  model: 0x0110,
  orientation: 0x0112,
  dateTime: 0x0132,
  exposureTime: 0x829a,
  fNumber: 0x829d,
  photographicSensitivity: 0x8827,
  sensitivityType: 0x8830,
  standardOutputSensitivity: 0x8831,
  recommendedExposureIndex: 0x8832,
  isoSpeed: 0x8833,
  dateTimeOriginal: 0x9003,
  offsetTimeOriginal: 0x9011,
  subjectDistance: 0x9206,
  flash: 0x9209,
  focalLength: 0x920a,
  subSecTimeOriginal: 0x9291,
  colorSpace: 0xa001,
  pixelXDimension: 0xa002,
  pixelYDimension: 0xa003,
  focalPlaneXResolution: 0xa20e,
  focalPlaneResolutionUnit: 0xa210,
  digitalZoomRatio: 0xa404,
  focalLengthIn35mmFilm: 0xa405,
  lensSpecification: 0xa432,
  lensModel: 0xa434,
} as const;

export type TagName = keyof typeof TAG;

const EXIF_DIRECTORY = 0x8769;
/** Never read, as each maker has a form of its own; that it is there tells that nobody wrote the file again. */
const MAKER_NOTE = 0x927c;

/** No tag that is read holds more values than a long text has letters. */
const MAX_COUNT = 4096;

/** Values as the metadata library gives them; their types are whatever the file says and have to be checked. */
export interface ExifTags {
  readonly values: ReadonlyMap<TagName, unknown>;
  readonly hasMakerNote: boolean;
  readonly warnings: readonly string[];
}

/**
 * Reads the wanted tags of a metadata block (beginning with its TIFF header). The library is asked only for tags
 * whose claimed size is sane; where it stumbles over one it is asked for each alone, so that one bad tag does not
 * cost the others.
 */
export async function readExifTags(block: Buffer): Promise<ExifTags> {
  const claimed = claimedEntries(block);
  const hasMakerNote = claimed.has(MAKER_NOTE);
  const warnings: string[] = [];
  const wanted: TagName[] = [];
  for (const name of Object.keys(TAG) as TagName[]) {
    const entry = claimed.get(TAG[name]);
    if (!entry) continue;
    if (entry.count <= MAX_COUNT) wanted.push(name);
    else warnings.push(`${name}: claims ${entry.count} values, not read.`);
  }
  if (wanted.length === 0) return { values: new Map(), hasMakerNote, warnings };
  // The library reads beyond a view into shared memory; a copy of its own ends where the block ends.
  const own = block.byteLength === block.buffer.byteLength ? block : Buffer.from(new Uint8Array(block));
  const together = await ask(own, wanted);
  if (together) return { values: together, hasMakerNote, warnings };
  const values = new Map<TagName, unknown>();
  for (const name of wanted) {
    const alone = await ask(own, [name]);
    if (!alone) warnings.push(`${name}: damaged, not read.`);
    for (const [tag, value] of alone ?? []) values.set(tag, value);
  }
  return { values, hasMakerNote, warnings };
}

/** Entries of the main and the Exif directory; the first of a repeated tag counts. */
function claimedEntries(block: Buffer): Map<number, TiffEntry> {
  const found = new Map<number, TiffEntry>();
  const reader = tiffReader(block);
  if (!reader) return found;
  const main = reader.directory(reader.first)?.entries ?? [];
  const pointer = main.find((entry) => entry.tag === EXIF_DIRECTORY);
  const exif = pointer ? (reader.directory(pointer.value)?.entries ?? []) : [];
  for (const entry of [...exif, ...main]) if (!found.has(entry.tag)) found.set(entry.tag, entry);
  return found;
}

/** Null when the library could not read all of them. */
async function ask(block: Buffer, names: readonly TagName[]): Promise<Map<TagName, unknown> | null> {
  const pick = names.map((name) => TAG[name]);
  // Otherwise it would drop the rest of a directory without a word. The option is missing from its types.
  const loud = { silentErrors: false };
  try {
    const read: unknown = await exifr.parse(block, {
      ifd0: { pick },
      exif: { pick },
      gps: false,
      interop: false,
      ifd1: false,
      translateKeys: false,
      translateValues: false,
      reviveValues: false,
      mergeOutput: false,
      ...loud,
    });
    const { ifd0, exif } = (read ?? {}) as Record<string, Record<string, unknown> | undefined>;
    const values = new Map<TagName, unknown>();
    for (const name of names) {
      const value = exif?.[TAG[name]] ?? ifd0?.[TAG[name]];
      if (value !== undefined && value !== null) values.set(name, value);
    }
    return values;
  } catch {
    return null;
  }
}
