import type { Dirent } from "node:fs";
import { readdir } from "node:fs/promises";
import { isSystemFile, isSystemFolder } from "../intake/walk-card.ts";
import { isTemporaryName } from "./temporary-names.ts";

/** A file by name; nothing about it was asked yet. */
export interface ListedFile {
  /** Its path byte for byte: names need not be UTF-8, and two may look alike. */
  readonly key: string;
  /** As the system wants it. */
  readonly at: Buffer;
  /** For people, and for whoever reads the picture. */
  readonly path: string;
}

export interface Listing {
  readonly files: readonly ListedFile[];
  readonly folders: readonly string[];
  /** Folders that are there and cannot be looked into: what they hold is unknown, not gone. */
  readonly closed: readonly ListedFile[];
  readonly passedOver: readonly { readonly file: ListedFile; readonly why: string }[];
}

/** Cameras nest two deep (DCIM/100…); tether programs add a day and a name. */
const DEEPEST = 4;
/** A disk that is broken can nest without end. */
const MOST_FOLDERS = 500;

/**
 * Names in a folder and its sub-folders, without a question about any single file: as many calls as folders. Links
 * are not followed, so nothing outside can be reached. Hidden, temporary and system names are left out.
 * @throws the system's error when the folder itself cannot be read
 */
export async function listFolder(root: string): Promise<Listing> {
  const files: ListedFile[] = [];
  const closed: ListedFile[] = [];
  const passedOver: { file: ListedFile; why: string }[] = [];
  const folders = [{ ...listed(Buffer.from(root)), depth: 0 }];
  for (const folder of folders) {
    let entries: Dirent<Buffer>[];
    try {
      entries = await readdir(folder.at, { withFileTypes: true, encoding: "buffer" });
    } catch (fault) {
      if (folder.depth === 0) throw fault;
      const { code } = fault as NodeJS.ErrnoException;
      if (code !== "ENOENT" && code !== "ENOTDIR") closed.push(folder);
      continue;
    }
    for (const entry of entries) {
      const file = listed(Buffer.concat([folder.at, Buffer.from("/"), entry.name]));
      const name = entry.name.toString("utf8");
      if (isTemporaryName(name) || isSystemFile(name) || isSystemFolder(name)) continue;
      if (entry.isFile()) files.push(file);
      else if (entry.isSymbolicLink()) passedOver.push({ file, why: "It is a link; links are not followed" });
      else if (!entry.isDirectory()) passedOver.push({ file, why: "It is a device or a pipe" });
      else if (folder.depth >= DEEPEST)
        passedOver.push({ file, why: `Folders are followed ${DEEPEST} deep, this one is deeper` });
      else if (folders.length >= MOST_FOLDERS)
        passedOver.push({ file, why: `More than ${MOST_FOLDERS} folders: this one is not followed` });
      else folders.push({ ...file, depth: folder.depth + 1 });
    }
  }
  return { files, folders: folders.map(({ path }) => path), closed, passedOver };
}

const listed = (at: Buffer): ListedFile => ({ at, key: at.toString("latin1"), path: at.toString("utf8") });
