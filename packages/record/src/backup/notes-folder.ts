import { randomBytes } from "node:crypto";
import { constants } from "node:fs";
import { lstat, open, readdir, rename, unlink } from "node:fs/promises";
import { dirname, join } from "node:path";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import { makeFolderDurably, syncFolder } from "../originals/durable.ts";
import type { Notes } from "./notes.ts";

/** A note of a million originals takes about 1 MB. */
const MOST_BYTES = 1 << 28;

/** Notes as files of a folder. Links are not followed: whoever may write there could lead us elsewhere. */
export function notesFolder(root: string): Notes {
  return {
    async read(name) {
      const path = join(root, name);
      try {
        // Without waiting: a pipe of that name would never open.
        const flags = constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0) | (constants.O_NONBLOCK ?? 0);
        const handle = await open(path, flags);
        try {
          const found = await handle.stat();
          if (!found.isFile() || found.size > MOST_BYTES) throw notPlain(path);
          return await handle.readFile();
        } finally {
          await handle.close();
        }
      } catch (thrown) {
        const { code } = thrown as NodeJS.ErrnoException;
        if (code === "ENOENT") return null;
        if (code === "ELOOP" || code === "EISDIR") throw notPlain(path);
        throw asSamescaleError(thrown, path);
      }
    },
    async write(name, bytes) {
      const path = join(root, name);
      const folder = dirname(path);
      const waiting = join(folder, `.${randomBytes(8).toString("hex")}.part`);
      try {
        await makeFolderDurably(folder);
        await onlyFolders(root, folder);
        const handle = await open(waiting, "wx", 0o600);
        try {
          await handle.writeFile(bytes);
          await handle.sync();
        } finally {
          await handle.close();
        }
        await rename(waiting, path);
        await syncFolder(folder);
      } catch (thrown) {
        await unlink(waiting).catch(() => {}); // it may not have been made
        throw asSamescaleError(thrown, path);
      }
    },
    async list(folder) {
      const names = await readdir(join(root, folder)).catch((thrown: NodeJS.ErrnoException) => {
        if (thrown.code === "ENOENT") return [];
        throw asSamescaleError(thrown, join(root, folder));
      });
      return names.filter((name) => !name.startsWith(".")).sort();
    },
  };
}

/** @throws SamescaleError BACKUP_LINK when one of them is a link */
export async function onlyFolders(root: string, folder: string): Promise<void> {
  for (let at = folder; at.length > root.length; at = dirname(at)) {
    if (!(await lstat(at)).isDirectory()) throw notPlain(at);
  }
}

function notPlain(path: string): SamescaleError {
  return new SamescaleError(
    "BACKUP_LINK",
    `${path} is a link or something else than it was made as`,
    "Nothing was read or written there. Find out who put it there, or take another place for the backup.",
  );
}
