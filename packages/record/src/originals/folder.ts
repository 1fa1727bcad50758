import type { Dirent } from "node:fs";
import { link, lstat, mkdir, open, readdir, rename, unlink } from "node:fs/promises";
import { dirname, join } from "node:path";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import { drain, type Read } from "./drain.ts";
import { makeFolderDurably, syncFolder } from "./durable.ts";
import { hashOfFile, openFile, pieces, unlessGone, writeWhole } from "./files.ts";
import { incomingFiles, newIncomingName } from "./incoming.ts";
import { missing, ORIGINAL_NAME } from "./names.ts";
import type { Listed, Originals, Put, PutOptions, Source } from "./originals.ts";

const INCOMING = "incoming";

/**
 * Originals in a folder: `ab/cd/abcd…` (two levels keep every folder small: a million files make 65,536 folders
 * of about 15). What is being written lies in `incoming/` until it is whole.
 */
export async function openOriginalsFolder(root: string): Promise<Originals> {
  await makeFolderDurably(join(root, INCOMING));
  return originalsFolder(root);
}

/** The same for reading: makes nothing. */
export function originalsFolder(root: string): Originals {
  const folderOf = (sha256: string) => {
    if (!ORIGINAL_NAME.test(sha256)) throw missing(sha256); // never a path made of somebody's text
    return join(root, sha256.slice(0, 2), sha256.slice(2, 4));
  };
  const pathOf = (sha256: string) => join(folderOf(sha256), sha256);

  const originals: Originals = {
    async put(source, options = {}) {
      const known = options.expected;
      if (known !== undefined && (await originals.has(known))) {
        const read = await drain(source, options, async () => {});
        if ("error" in read) return { state: "unreadable", error: read.error };
        if (read.sha256 === known) {
          await compare(pathOf(known), known, "ORIGINAL_DAMAGED", options.signal);
          return { state: "already", ...read };
        }
      }
      return copyIn(source, options);
    },
    async *open(sha256) {
      const handle = await openFile(pathOf(sha256)).catch((thrown) => {
        throw (thrown as NodeJS.ErrnoException).code === "ENOENT" ? missing(sha256) : thrown;
      });
      yield* pieces(handle);
    },
    async has(sha256) {
      return (await sizeOf(pathOf(sha256))) !== null;
    },
    list: () => list(root),
    async rehash(sha256, signal) {
      try {
        return await hashOfFile(pathOf(sha256), signal);
      } catch (thrown) {
        if ((thrown as NodeJS.ErrnoException).code === "ENOENT") return null;
        throw thrown;
      }
    },
    async localFile(sha256) {
      if (!(await originals.has(sha256))) throw missing(sha256);
      return pathOf(sha256);
    },
    async destroy(sha256) {
      try {
        await unlink(pathOf(sha256));
      } catch (thrown) {
        if ((thrown as NodeJS.ErrnoException).code === "ENOENT") return false;
        throw thrown;
      }
      await syncFolder(folderOf(sha256));
      return true;
    },
    async sweep() {
      let swept = 0;
      for (const file of await incomingFiles(join(root, INCOMING))) {
        if (file.writer !== "dead") continue;
        await unlink(file.path).catch(unlessGone);
        swept++;
      }
      return swept;
    },
  };

  async function copyIn(source: Source, options: PutOptions): Promise<Put> {
    const incoming = newIncomingName(join(root, INCOMING));
    try {
      const read = await write(incoming.path, source, options);
      if ("error" in read) return { state: "unreadable", error: read.error };
      const isNew = await giveName(incoming.path, read.sha256);
      const fault = isNew ? "ORIGINAL_NOT_VERIFIED" : "ORIGINAL_DAMAGED";
      await compare(pathOf(read.sha256), read.sha256, fault, options.signal);
      return { state: isNew ? "stored" : "already", ...read };
    } catch (thrown) {
      if (options.signal?.aborted) throw options.signal.reason;
      throw asSamescaleError(thrown, root);
    } finally {
      await unlink(incoming.path).catch(unlessGone);
      incoming.done();
    }
  }

  /** Writes, and waits until the disk has it. */
  async function write(path: string, source: Source, options: PutOptions): Promise<Read> {
    const handle = await open(path, "wx", 0o600);
    try {
      const read = await drain(source, options, (piece) => writeWhole(handle, piece));
      if (!("error" in read)) {
        await handle.chmod(0o444);
        await handle.sync();
      }
      return read;
    } finally {
      await handle.close();
    }
  }

  /**
   * Gives the finished file its name without ever replacing one: of two that race, one makes the name and the
   * other finds it. False when the name was there.
   */
  async function giveName(incoming: string, sha256: string): Promise<boolean> {
    const path = pathOf(sha256);
    const folder = folderOf(sha256);
    await mkdir(folder, { recursive: true });
    try {
      await link(incoming, path);
    } catch (thrown) {
      const code = (thrown as NodeJS.ErrnoException).code ?? "";
      if (code === "EEXIST") return false;
      if (!["EPERM", "ENOTSUP", "EOPNOTSUPP", "ENOSYS"].includes(code)) throw thrown;
      // A disk without hard links. A race here replaces a file by its twin: same name, same bytes.
      if ((await sizeOf(path)) !== null) return false;
      await rename(incoming, path);
    }
    // All three, whoever made them: another process may have made a folder and not waited for the disk yet.
    for (const made of [folder, dirname(folder), root]) await syncFolder(made);
    return true;
  }

  async function compare(path: string, sha256: string, code: Fault, signal?: AbortSignal): Promise<void> {
    const found = await hashOfFile(path, signal);
    if (found === sha256) return;
    if (code === "ORIGINAL_DAMAGED") {
      throw new SamescaleError(
        "ORIGINAL_DAMAGED",
        `The library's own copy of this file is damaged: ${path} has the SHA-256 ${found}`,
        "Keep the card, it holds a good copy. Move the damaged file away and take the card in again.",
      );
    }
    // Made a moment ago by this call, and wrong: it must not keep the name of the right one.
    await unlink(path).catch(unlessGone);
    throw new SamescaleError(
      "ORIGINAL_NOT_VERIFIED",
      `What was read back differs from what was written: expected ${sha256}, read ${found} at ${path}`,
      "Do not trust this disk. Keep the card and choose a library on another disk.",
    );
  }

  return originals;
}

type Fault = "ORIGINAL_DAMAGED" | "ORIGINAL_NOT_VERIFIED";
async function sizeOf(path: string): Promise<number | null> {
  try {
    const found = await lstat(path);
    return found.isFile() ? found.size : null;
  } catch (thrown) {
    if ((thrown as NodeJS.ErrnoException).code === "ENOENT") return null;
    throw thrown;
  }
}

async function* list(root: string): AsyncGenerator<Listed> {
  for (const first of await entries(root)) {
    const at = join(root, first.name);
    if (first.name === INCOMING && first.isDirectory()) {
      for (const file of await incomingFiles(at)) {
        if (file.writer === "dead") yield stray(file.path, "left behind by a run that was killed");
        if (file.writer === "nobody") yield stray(file.path, "not a file on its way in");
      }
    } else if (!/^[0-9a-f]{2}$/.test(first.name) || !first.isDirectory()) {
      yield stray(at, "not a folder of originals");
    } else {
      yield* listSecond(at, first.name);
    }
  }
}

async function* listSecond(folder: string, prefix: string): AsyncGenerator<Listed> {
  for (const second of await entries(folder)) {
    const at = join(folder, second.name);
    if (!/^[0-9a-f]{2}$/.test(second.name) || !second.isDirectory()) {
      yield stray(at, "not a folder of originals");
      continue;
    }
    for (const file of await entries(at)) {
      const path = join(at, file.name);
      if (!ORIGINAL_NAME.test(file.name) || !file.name.startsWith(prefix + second.name)) {
        yield stray(path, "its name is not the SHA-256 of an original of this folder");
      } else if (!file.isFile()) {
        yield stray(path, "not a plain file");
      } else {
        yield { kind: "original", sha256: file.name, bytes: (await lstat(path)).size };
      }
    }
  }
}

const stray = (path: string, why: string): Listed => ({ kind: "stray", path, why });

/** None in a folder that is not there: what should be in it is then missing file by file. */
async function entries(folder: string): Promise<Dirent[]> {
  const found = await readdir(folder, { withFileTypes: true }).catch((thrown) => {
    if ((thrown as NodeJS.ErrnoException).code === "ENOENT") return [];
    throw thrown;
  });
  return found.sort((a, b) => (a.name < b.name ? -1 : 1));
}
