import { createHash } from "node:crypto";
import { constants } from "node:fs";
import { open } from "node:fs/promises";
import { HEAD_BYTES, recognise } from "../intake/recognise.ts";
import { endsWhole, type ReadAt } from "./ends-whole.ts";
import type { ListedFile } from "./list-folder.ts";

/** What lies in a file, as far as following it needs. */
export type Content =
  | { readonly kind: "picture"; readonly isRaw: boolean; readonly endsWhole: boolean; readonly mark: string }
  | { readonly kind: "other"; readonly what: string }
  /** It changed while it was looked at. */
  | { readonly kind: "changing" };

/** Through no link that took the file's place, and without waiting for ever where a pipe did. */
const FLAGS = constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0) | (constants.O_NONBLOCK ?? 0);

const PIECE_BYTES = 32 * 1024;
const PIECES_BETWEEN = 8;

/** Looks into a file of this size and time. @throws the system's error when it cannot be read */
export async function contentOf(
  file: ListedFile,
  { sizeBytes, mtimeMs }: { readonly sizeBytes: number; readonly mtimeMs: number },
): Promise<Content> {
  const handle = await open(file.at, FLAGS);
  try {
    const read: ReadAt = async (at, bytes) => {
      const { buffer, bytesRead } = await handle.read(Buffer.alloc(bytes), 0, bytes, at);
      return buffer.subarray(0, bytesRead);
    };
    const found = recognise(await read(0, HEAD_BYTES), file.path);
    const content: Content =
      found.kind === "picture"
        ? {
            kind: "picture",
            isRaw: found.isRaw,
            endsWhole: await endsWhole(found.format, read, sizeBytes),
            mark: await markOf(read, sizeBytes),
          }
        : { kind: "other", what: found.kind === "video" ? "a video" : found.what };
    const now = await handle.stat();
    return now.size === sizeBytes && now.mtimeMs === mtimeMs ? content : { kind: "changing" };
  } finally {
    await handle.close();
  }
}

/**
 * Tells pictures apart by their size, head, tail and pieces between: compressed data and sensor noise differ all over,
 * and hashing every byte would fetch 500 frames over the network before the first could be judged.
 */
async function markOf(read: ReadAt, sizeBytes: number): Promise<string> {
  const hash = createHash("sha256").update(`${sizeBytes}\n`);
  if (sizeBytes <= (PIECES_BETWEEN + 2) * PIECE_BYTES) {
    hash.update(await read(0, sizeBytes));
  } else {
    const step = (sizeBytes - PIECE_BYTES) / (PIECES_BETWEEN + 1);
    for (let n = 0; n <= PIECES_BETWEEN + 1; n++) hash.update(await read(Math.floor(n * step), PIECE_BYTES));
  }
  return hash.digest("hex").slice(0, 32);
}
