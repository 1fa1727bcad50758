import type { Dirent } from "node:fs";
import { lstat, readdir } from "node:fs/promises";

/** One thing on a card, in the order of the card's own names. */
export interface CardEntry {
  /** Relative to the card, with `/`; unique on the card, also where a name is no UTF-8. */
  readonly path: string;
  /** As the system wants it: names need not be UTF-8. */
  readonly at: Buffer;
  readonly bytes: number;
  readonly modifiedMs: number;
  readonly kind: "file" | "left-by-system" | "hidden" | "link" | "not-a-file" | "unreadable";
  /** With `unreadable` only. */
  readonly fault?: unknown;
}

/** What operating systems leave on a card; it holds no picture that a camera wrote, or only deleted ones. */
const SYSTEM_FOLDERS = new Set([
  ".fseventsd",
  ".Spotlight-V100",
  ".TemporaryItems",
  ".Trashes",
  ".Trash-1000",
  "$RECYCLE.BIN",
  "System Volume Information",
]);
const SYSTEM_FILES = new Set([".DS_Store", ".VolumeIcon.icns", "desktop.ini", "Desktop.ini", "Thumbs.db"]);
/** macOS puts a `._NAME` beside a file on disks that cannot hold its extra attributes. */
const isAttributesFile = (name: string) => name.startsWith("._");

export const isSystemFolder = (name: string): boolean => SYSTEM_FOLDERS.has(name);
export const isSystemFile = (name: string): boolean => SYSTEM_FILES.has(name) || isAttributesFile(name);

/** Deeper nesting than any camera makes; a disk that is broken can nest without end. */
const DEEPEST = 32;

/**
 * Everything on the card, sorted by name, folder by folder. Only looks: links are reported and never followed, so
 * nothing outside the card can be reached. A folder that cannot be read is an entry as well.
 */
export async function walkCard(root: string): Promise<CardEntry[]> {
  const entries: CardEntry[] = [];
  const shown = new Set<string>();
  await walk({ at: Buffer.from(root), path: "", depth: 0, system: false, hidden: false }, entries, shown);
  return entries;
}

interface Folder {
  readonly at: Buffer;
  readonly path: string;
  readonly depth: number;
  readonly system: boolean;
  readonly hidden: boolean;
}

async function walk(folder: Folder, entries: CardEntry[], shown: Set<string>): Promise<void> {
  let found: Dirent<Buffer>[];
  try {
    if (folder.depth > DEEPEST) throw new Error(`more than ${DEEPEST} folders inside each other`);
    found = await readdir(folder.at, { withFileTypes: true, encoding: "buffer" });
  } catch (fault) {
    if (folder.depth === 0) throw fault;
    entries.push({ path: folder.path, at: folder.at, bytes: 0, modifiedMs: 0, kind: "unreadable", fault });
    return;
  }
  found.sort((a, b) => Buffer.compare(a.name, b.name));
  for (const entry of found) {
    const name = shownName(entry.name);
    const at = Buffer.concat([folder.at, Buffer.from("/"), entry.name]);
    const path = unique(folder.path === "" ? name : `${folder.path}/${name}`, shown);
    const system = folder.system || isSystemFolder(name);
    const hidden = folder.hidden || name.startsWith(".");
    if (entry.isDirectory()) {
      await walk({ at, path, depth: folder.depth + 1, system, hidden }, entries, shown);
    } else {
      const leftBySystem = system || isSystemFile(name);
      entries.push(await fileEntry(at, path, leftBySystem ? "left-by-system" : hidden ? "hidden" : "file"));
    }
  }
}

async function fileEntry(
  at: Buffer,
  path: string,
  kind: "file" | "left-by-system" | "hidden",
): Promise<CardEntry> {
  try {
    const found = await lstat(at);
    const plain = { path, at, bytes: found.size, modifiedMs: Math.floor(found.mtimeMs) };
    if (found.isFile()) return { ...plain, kind };
    return { ...plain, kind: found.isSymbolicLink() ? "link" : "not-a-file" };
  } catch (fault) {
    return { path, at, bytes: 0, modifiedMs: 0, kind: "unreadable", fault };
  }
}

/** A name for people and for the tables: bytes that are no UTF-8 as U+FFFD and two digits. */
function shownName(name: Buffer): string {
  const text = name.toString("utf8");
  if (Buffer.from(text, "utf8").equals(name)) return text;
  let shown = "";
  for (let at = 0; at < name.length; ) {
    const length = [1, 2, 3, 4].find((n) => isOneCharacter(name.subarray(at, at + n)));
    shown += length ? name.toString("utf8", at, at + length) : `\ufffd${name.toString("hex", at, at + 1)}`;
    at += length ?? 1;
  }
  return shown;
}

function isOneCharacter(bytes: Buffer): boolean {
  const text = bytes.toString("utf8");
  return [...text].length === 1 && !text.includes("\ufffd") && Buffer.from(text, "utf8").equals(bytes);
}

/** Two names that differ only in bytes that cannot be shown are still two. */
function unique(path: string, shown: Set<string>): string {
  let name = path;
  for (let nth = 2; shown.has(name); nth++) name = `${path}\ufffd${nth}`;
  shown.add(name);
  return name;
}
