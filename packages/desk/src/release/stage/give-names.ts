import { createHash } from "node:crypto";
import { createReadStream } from "node:fs";
import { link, lstat, mkdir, open, readdir, rename, rmdir, unlink } from "node:fs/promises";
import { join } from "node:path";
import { SamescaleError } from "@samescale/errors";
import type { Stage, StagedFile } from "./stage.ts";

/**
 * The files get their names: all at once, by renaming the folder, where it is a new one; one by one into a folder that is
 * there. No file is ever replaced, and nothing is written through a link.
 *
 * @throws SamescaleError RELEASED_FOLDER, RELEASE_EXISTS
 */
export async function giveNames(stage: Stage, folder: string): Promise<void> {
  const target = join(stage.released, folder);
  if (await becomes(stage.filesFolder, target)) {
    await syncFolder(stage.released);
    return;
  }
  await mustBeFolder(target);
  const folders = new Set([target]);
  for (const { name } of stage.files) {
    const path = join(target, name);
    for (const part of foldersOf(name)) {
      const at = join(target, part);
      await mkdir(at, { mode: 0o700 }).catch(unlessExists);
      await mustBeFolder(at);
      folders.add(at);
    }
    await link(join(stage.filesFolder, name), path).catch((thrown: NodeJS.ErrnoException) => {
      if (thrown.code !== "EEXIST") throw thrown;
      throw new SamescaleError(
        "RELEASE_EXISTS",
        `There is a file of that name already, and it is not touched: ${join(folder, name)}`,
        "Choose another folder for this release.",
      );
    });
  }
  for (const each of folders) await syncFolder(each);
}

/** False where something is there already. */
async function becomes(from: string, to: string): Promise<boolean> {
  if ((await lstat(to).catch(() => null)) !== null) return false;
  try {
    await rename(from, to);
    return true;
  } catch (thrown) {
    if (["ENOTEMPTY", "EEXIST", "ENOTDIR"].includes((thrown as NodeJS.ErrnoException).code ?? ""))
      return false;
    throw thrown;
  }
}

async function mustBeFolder(path: string): Promise<void> {
  if ((await lstat(path)).isDirectory()) return;
  throw new SamescaleError(
    "RELEASED_FOLDER",
    `Files can only be released into a folder, and this is a link or a file: ${path}`,
    "Remove it, or choose another folder for this release.",
  );
}

/** `a/b/c.jpg`: `a`, `a/b` */
function foldersOf(name: string): string[] {
  const parts = name.split("/").slice(0, -1);
  return parts.map((_, i) => parts.slice(0, i + 1).join("/"));
}

function unlessExists(thrown: NodeJS.ErrnoException): void {
  if (thrown.code !== "EEXIST") throw thrown;
}

/** Removes those of the named files that are still the very bytes; returns how many were there. */
export async function takeNames(
  released: string,
  folder: string,
  files: readonly StagedFile[],
): Promise<number> {
  const target = join(released, folder);
  let removed = 0;
  for (const { name, sha256 } of files) {
    const path = join(target, name);
    if ((await hashOfPlainFile(path)) !== sha256) continue;
    await unlink(path);
    removed++;
  }
  const folders = new Set(files.flatMap(({ name }) => foldersOf(name)));
  for (const each of [...folders].sort().reverse()) await rmdir(join(target, each)).catch(() => {});
  const left = await readdir(target).catch(() => null);
  if (left !== null && left.length === 0) await rmdir(target).catch(() => {});
  return removed;
}

/** SHA-256 of a file; null for what is no plain file, a link included. */
export async function hashOfPlainFile(path: string): Promise<string | null> {
  const found = await lstat(path).catch(() => null);
  if (!found?.isFile()) return null;
  const hash = createHash("sha256");
  for await (const piece of createReadStream(path)) hash.update(piece);
  return hash.digest("hex");
}

/** Waits until the disk knows the names in it. */
async function syncFolder(folder: string): Promise<void> {
  if (process.platform === "win32") return;
  const handle = await open(folder, "r");
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}
