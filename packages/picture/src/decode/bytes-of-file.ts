import { createHash } from "node:crypto";
import { constants, type PathLike } from "node:fs";
import { type FileHandle, open, readdir } from "node:fs/promises";
import { basename, dirname } from "node:path";
import { asSamescaleError, SamescaleError } from "@samescale/errors";

/** Larger than any original of the trade (151 MP at 16 bits is 0.9 GB); keeps a wrong file from filling memory. */
export const MAX_FILE_BYTES = 1024 ** 3;

const CHUNK_BYTES = 1024 * 1024;
const READ_NON_BLOCKING = constants.O_RDONLY | (constants.O_NONBLOCK ?? 0);

export interface FileBytes {
  readonly bytes: Buffer;
  /** Of exactly these bytes, in hexadecimal. */
  readonly sha256: string;
}

/**
 * Reads a whole original once and hashes it on the way, so that what is described and what is hashed are the
 * same bytes. Libraries are handed bytes, never the name: some of them read options out of a name such as
 * `wound[1].jpg`.
 *
 * @throws SamescaleError FILE_MISSING, FILE_IS_FOLDER, FILE_NOT_PERMITTED, FILE_NAME_NOT_UTF8, FILE_NOT_REGULAR,
 *   FILE_EMPTY, FILE_TOO_LARGE, FILE_CHANGED
 */
export async function bytesOfFile(file: string): Promise<FileBytes> {
  let handle: FileHandle | undefined;
  try {
    handle = await openByName(file);
    return await readAll(handle, file);
  } catch (thrown) {
    throw asSamescaleError(thrown, file);
  } finally {
    await handle?.close();
  }
}

async function readAll(handle: FileHandle, file: string): Promise<FileBytes> {
  const before = await handle.stat();
  if (before.isDirectory()) throw Object.assign(new Error("is a folder"), { code: "EISDIR" });
  if (!before.isFile()) {
    throw new SamescaleError(
      "FILE_NOT_REGULAR",
      `This is a device or a pipe: ${file}`,
      "Name a picture file.",
    );
  }
  if (before.size === 0) {
    throw new SamescaleError(
      "FILE_EMPTY",
      `The file has 0 bytes: ${file}`,
      "Copy it from the card again; if it is empty there too, the camera did not finish writing it.",
    );
  }
  if (before.size > MAX_FILE_BYTES) {
    throw new SamescaleError(
      "FILE_TOO_LARGE",
      `Expected at most ${MAX_FILE_BYTES} bytes, the file has ${before.size}: ${file}`,
      "Check that this is a photograph.",
    );
  }
  const bytes = Buffer.allocUnsafeSlow(before.size);
  const hash = createHash("sha256");
  let at = 0;
  while (at < bytes.length) {
    const { bytesRead } = await handle.read(bytes, at, Math.min(CHUNK_BYTES, bytes.length - at), at);
    if (bytesRead === 0) break;
    hash.update(bytes.subarray(at, at + bytesRead));
    at += bytesRead;
  }
  const after = await handle.stat();
  if (at !== before.size || after.size !== before.size || after.mtimeMs !== before.mtimeMs) {
    throw new SamescaleError(
      "FILE_CHANGED",
      `The file changed while it was read: ${file}`,
      "Wait until it is copied completely, then try again.",
    );
  }
  return { bytes, sha256: hash.digest("hex") };
}

/**
 * A name that is not valid UTF-8 reaches us with replacement characters in it. The folder is then asked which
 * entry reads like that; exactly one is taken, several are not guessed between.
 */
async function openByName(file: string): Promise<FileHandle> {
  try {
    // Non-blocking, as opening a pipe without a writer would never return.
    return await open(file, READ_NON_BLOCKING);
  } catch (thrown) {
    if (!file.includes("\ufffd") || (thrown as NodeJS.ErrnoException).code !== "ENOENT") throw thrown;
    const entries = await readdir(dirname(file), { encoding: "buffer" }).catch(() => []);
    const alike = entries.filter((entry) => entry.toString() === basename(file));
    if (alike.length === 1) return await open(inFolder(dirname(file), alike[0]!), READ_NON_BLOCKING);
    throw new SamescaleError(
      "FILE_NAME_NOT_UTF8",
      `The name is not valid UTF-8 and ${alike.length === 0 ? "no file" : "more than one file"} fits it: ${file}`,
      "Rename the file (or its folder) with plain letters, then try again.",
    );
  }
}

const inFolder = (folder: string, name: Buffer): PathLike => Buffer.concat([Buffer.from(`${folder}/`), name]);
