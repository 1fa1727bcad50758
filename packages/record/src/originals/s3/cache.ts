import { lstat, mkdir, open, readdir, rename, rm, unlink, utimes } from "node:fs/promises";
import { join } from "node:path";
import { hashOfFile, unlessGone, writeWhole } from "../files.ts";
import { incomingFiles, newIncomingName } from "../incoming.ts";
import { missing, ORIGINAL_NAME } from "../names.ts";

export interface CacheOptions {
  /** The cache is brought below this. */
  readonly maxBytes: number;
  /** What was asked for within this time stays, whatever the size: a program may be reading it. */
  readonly keepMs?: number;
  readonly clock?: () => Date;
}

const KEEP_MS = 60 * 60_000;

/** Local copies of what lies in a store elsewhere, named by their SHA-256, for programs that read files. */
export interface LocalCopies {
  /** Path of a copy whose bytes were compared; null when there is none. */
  find(sha256: string): Promise<string | null>;
  /** A file to be written; afterwards `adopt` or `drop` it. */
  newFile(): Promise<{ readonly path: string; drop(): Promise<void> }>;
  /** Takes a finished file under its name. */
  adopt(path: string, sha256: string): Promise<string>;
  forget(sha256: string): Promise<void>;
  /** Removes what killed runs left behind. */
  sweep(): Promise<number>;
}

export function localCopiesIn(folder: string, options: CacheOptions): LocalCopies {
  const { maxBytes, keepMs = KEEP_MS, clock = () => new Date() } = options;
  const incoming = join(folder, "incoming");
  const pathOf = (sha256: string) => {
    if (!ORIGINAL_NAME.test(sha256)) throw missing(sha256); // never a path made of somebody's text
    return join(folder, sha256.slice(0, 2), sha256);
  };
  /** What this process has compared, and which file it was; a file that was changed since is another one. */
  const compared = new Map<string, string>();
  let bytes: number | null = null;

  async function find(sha256: string): Promise<string | null> {
    const path = pathOf(sha256);
    const found = await lstat(path).catch(unlessGoneNull);
    if (found === null || !found.isFile()) return null;
    const file = `${found.ino}:${found.size}:${found.mtimeMs}`;
    if (compared.get(sha256) !== file) {
      if ((await hashOfFile(path)) !== sha256) {
        await unlink(path).catch(unlessGone);
        return null;
      }
      compared.set(sha256, file);
    }
    // The time of the last use says what goes first.
    const used = await utimes(path, clock(), found.mtime).then(
      () => true,
      (thrown) => (thrown.code === "ENOENT" ? false : Promise.reject(thrown)),
    );
    return used ? path : null;
  }

  async function newFile() {
    await mkdir(incoming, { recursive: true, mode: 0o700 });
    const { path, done } = newIncomingName(incoming);
    const drop = async () => {
      await unlink(path).catch(unlessGone);
      done();
    };
    return { path, drop };
  }

  async function adopt(from: string, sha256: string): Promise<string> {
    const path = pathOf(sha256);
    await mkdir(join(folder, sha256.slice(0, 2)), { recursive: true, mode: 0o700 });
    const { mtime, size } = await lstat(from);
    await utimes(from, clock(), mtime);
    await rename(from, path);
    await makeRoom(size);
    return path;
  }

  async function makeRoom(added: number): Promise<void> {
    bytes = bytes === null ? null : bytes + added;
    if (bytes !== null && bytes <= maxBytes) return;
    const files = await allFiles();
    bytes = files.reduce((sum, file) => sum + file.size, 0);
    const before = clock().getTime() - keepMs;
    for (const { path, size, atimeMs } of files.sort((a, b) => a.atimeMs - b.atimeMs)) {
      if (bytes <= maxBytes || atimeMs > before) return;
      await unlink(path).catch(unlessGone);
      bytes -= size;
    }
  }

  async function allFiles() {
    const entries = await readdir(folder, { recursive: true, withFileTypes: true });
    const files: { path: string; size: number; atimeMs: number }[] = [];
    for (const entry of entries) {
      if (!entry.isFile() || entry.parentPath === incoming) continue;
      const path = join(entry.parentPath, entry.name);
      const found = await lstat(path).catch(unlessGoneNull);
      if (found !== null) files.push({ path, size: found.size, atimeMs: found.atimeMs });
    }
    return files;
  }

  async function sweep(): Promise<number> {
    await mkdir(incoming, { recursive: true, mode: 0o700 });
    const left = (await incomingFiles(incoming)).filter((file) => file.writer === "dead");
    for (const file of left) await unlink(file.path).catch(unlessGone);
    return left.length;
  }

  async function forget(sha256: string): Promise<void> {
    await rm(pathOf(sha256), { force: true });
  }

  return { find, newFile, adopt, forget, sweep };
}

/** Files on their way to a store, of which nothing stays here. */
export function passingThrough(folder: string): LocalCopies {
  return {
    ...localCopiesIn(folder, { maxBytes: 0 }),
    find: async () => null,
    adopt: async (path) => path, // dropped by whoever made it
    forget: async () => {},
  };
}

/** Writes pieces to a new file that only its owner reads. */
export async function writeNew<T>(
  path: string,
  take: (write: (piece: Uint8Array) => Promise<void>) => Promise<T>,
): Promise<T> {
  const handle = await open(path, "wx", 0o600);
  try {
    return await take((piece) => writeWhole(handle, piece));
  } finally {
    await handle.close();
  }
}

function unlessGoneNull(thrown: NodeJS.ErrnoException): null {
  if (thrown.code === "ENOENT") return null;
  throw thrown;
}
