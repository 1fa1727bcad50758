import { createHash } from "node:crypto";
import { lstat, readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import type { FileRef } from "./manifest.ts";
import { putBytes } from "./pieces.ts";
import type { BackupPlace } from "./place.ts";

/** Folders of a library beside its stores that a person wrote, or that cannot be made again. */
const PRACTICE = "practice";
const KEYS = "keys";
const MOST_BYTES = 2_000_000;
const MOST_DEEP = 3;

const SEGMENT = /^[A-Za-z0-9_][A-Za-z0-9._-]{0,99}$/;

/** Whether a path of a note may be made below a new library: nothing that leads out of it or over anything else in it. */
export function isOwnPath(path: string): boolean {
  const [first, ...rest] = path.split("/");
  return (
    (first === PRACTICE || first === KEYS) &&
    rest.length > 0 &&
    rest.length <= MOST_DEEP &&
    rest.every((segment) => SEGMENT.test(segment) && !segment.includes(".."))
  );
}

export const isKeyPath = (path: string): boolean => path.startsWith(`${KEYS}/`);

/** The practice's own files, and the signing keys where they are wanted; links and odd names are left alone. */
export async function ownFilesOut(folder: string, place: BackupPlace, withKeys: boolean): Promise<FileRef[]> {
  const refs: FileRef[] = [];
  for (const top of withKeys ? [PRACTICE, KEYS] : [PRACTICE]) {
    for (const path of await filesBelow(folder, top)) {
      const bytes = await readFile(join(folder, path));
      const sha256 = createHash("sha256").update(bytes).digest("hex");
      const known = new Map<string, FileRef>();
      refs.push({ path, bytes: bytes.length, ...(await putBytes(place, bytes, known)), sha256 });
    }
  }
  return refs;
}

async function filesBelow(folder: string, path: string): Promise<string[]> {
  const found = await lstat(join(folder, path)).catch(() => null);
  if (found?.isFile() && found.size <= MOST_BYTES && isOwnPath(path)) return [path];
  if (!found?.isDirectory()) return [];
  const names = (await readdir(join(folder, path))).sort();
  return (await Promise.all(names.map((name) => filesBelow(folder, `${path}/${name}`)))).flat();
}
