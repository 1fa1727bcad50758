import { createHash } from "node:crypto";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { asSamescaleError } from "@samescale/errors";

/** The files that make a practice, and no others: nothing that leads out of its folder. */
const PATH = /^(department\.yaml|kit\.yaml|calibrated-scales\.json|view-sets\/[a-z0-9-]{1,40}\.yaml)$/;

export const isPracticePath = (path: string): boolean => PATH.test(path);

export const sha256Of = (text: string): string => createHash("sha256").update(text).digest("hex");

/** A file of the practice as it stands. */
export interface PracticeFile {
  readonly path: string;
  readonly text: string;
  /** Of its bytes: what a change begins from. */
  readonly sha256: string;
}

/** Null: there is none of that name. */
export async function practiceFile(folder: string, path: string): Promise<PracticeFile | null> {
  if (!isPracticePath(path)) return null;
  const text = await textOrNull(join(folder, path));
  return text === null ? null : { path, text, sha256: sha256Of(text) };
}

/** Where the text is kept that a file had before it was changed: flat, so that a backup takes it along. */
export const earlierName = (path: string, sha256: string): string =>
  join("earlier", `${path.replace("/", ".")}.${sha256}`);

/** What a file said before, by its hash; null: nobody kept it. */
export async function earlierText(folder: string, path: string, sha256: string): Promise<string | null> {
  if (!isPracticePath(path) || !/^[0-9a-f]{64}$/.test(sha256)) return null;
  const text = await textOrNull(join(folder, earlierName(path, sha256)));
  return text !== null && sha256Of(text) === sha256 ? text : null;
}

async function textOrNull(file: string): Promise<string | null> {
  try {
    return await readFile(file, "utf8");
  } catch (thrown) {
    if ((thrown as NodeJS.ErrnoException).code === "ENOENT") return null;
    throw asSamescaleError(thrown, file);
  }
}
