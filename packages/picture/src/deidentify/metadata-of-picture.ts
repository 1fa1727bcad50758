import { readFile } from "node:fs/promises";
import exifr from "exifr";

/** What lies in a picture file beside its pixels, in the groups in which it lies there. */
export interface MetadataGroup {
  readonly group: MetadataKind;
  readonly entries: readonly { readonly name: string; readonly value: string }[];
  /** So many more than are shown. */
  readonly more: number;
}

/** camera: how it was made; place: where; preview: a small picture within; text: titles, names, keywords. */
export type MetadataKind = "camera" | "maker" | "place" | "preview" | "text" | "edits" | "colour";

export interface MetadataInput {
  /** A file, or the bytes of one. */
  readonly of: string | Uint8Array;
}

/** Enough to see what is there; a hostile file may hold millions. */
const MOST_ENTRIES = 60;
const MOST_LETTERS = 120;

const EVERYTHING = {
  tiff: true,
  exif: true,
  gps: true,
  interop: true,
  ifd1: true,
  iptc: true,
  xmp: true,
  icc: true,
  jfif: true,
  makerNote: true,
  userComment: true,
  mergeOutput: false,
  translateValues: true,
  reviveValues: false,
} as const;

/** As the library names its blocks. */
const KINDS: readonly (readonly [block: string, kind: MetadataKind])[] = [
  ["ifd0", "camera"],
  ["exif", "camera"],
  ["makerNote", "maker"],
  ["gps", "place"],
  ["ifd1", "preview"],
  ["thumbnail", "preview"],
  ["iptc", "text"],
  ["userComment", "text"],
  ["xmp", "edits"],
  ["icc", "colour"],
];

/**
 * Everything that the metadata library can tell of a picture file, for a person who wants to see what stays here and
 * what goes along. Nothing is computed from it. Where a block cannot be read there is none; empty: no metadata at all.
 */
export async function metadataOfPicture({ of }: MetadataInput): Promise<readonly MetadataGroup[]> {
  const bytes = typeof of === "string" ? await readFile(of) : of;
  // The library reads beyond a view into shared memory; a copy of its own ends where the bytes end.
  const own = new Uint8Array(bytes);
  const read = ((await exifr.parse(own, EVERYTHING).catch(() => null)) ?? {}) as Record<string, unknown>;
  const kinds = new Map<MetadataKind, { name: string; value: string }[]>();
  const known = new Set(KINDS.map(([block]) => block));
  // Blocks that it names otherwise are those of the edits: each program's own namespace.
  const others = Object.keys(read).filter(
    (block) => !known.has(block) && block !== "errors" && block !== "jfif",
  );
  for (const [block, kind] of [...KINDS, ...others.map((name) => [name, "edits"] as const)]) {
    const found = read[block];
    if (found === undefined || found === null) continue;
    const entries = isPlain(found) ? Object.entries(found) : [[block, found] as const];
    const shown = entries.map(([name, value]) => ({ name: text(name), value: valueText(value) }));
    kinds.set(kind, [...(kinds.get(kind) ?? []), ...shown]);
  }
  return [...kinds].map(([group, entries]) => ({
    group,
    entries: entries.slice(0, MOST_ENTRIES),
    more: Math.max(0, entries.length - MOST_ENTRIES),
  }));
}

const isPlain = (value: unknown): value is Record<string, unknown> =>
  typeof value === "object" && value !== null && !Array.isArray(value) && !ArrayBuffer.isView(value);

function valueText(value: unknown): string {
  if (ArrayBuffer.isView(value)) return `${value.byteLength} bytes`;
  if (value instanceof Date) return value.toISOString();
  if (typeof value === "object" && value !== null) return text(JSON.stringify(value) ?? "");
  return text(String(value));
}

/** Nothing that steers or hides, and not too long. */
function text(value: string): string {
  const plain = value
    .toWellFormed()
    .replace(/[\p{Cc}\p{Cf}\u2028\u2029]+/gu, " ")
    .trim();
  return plain.length > MOST_LETTERS ? `${plain.slice(0, MOST_LETTERS)}…` : plain;
}
