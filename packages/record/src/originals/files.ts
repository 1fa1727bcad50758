import { createHash } from "node:crypto";
import { constants } from "node:fs";
import { type FileHandle, open } from "node:fs/promises";

const PIECE_BYTES = 1 << 20;

export async function writeWhole(handle: FileHandle, piece: Uint8Array): Promise<void> {
  for (let done = 0; done < piece.length; ) {
    const { bytesWritten } = await handle.write(piece, done, piece.length - done);
    done += bytesWritten;
  }
}

/** Never through a link: somebody could have put one in the store. */
export const openFile = (path: string) => open(path, constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0));

export async function* pieces(handle: FileHandle): AsyncGenerator<Uint8Array> {
  try {
    for (;;) {
      const { bytesRead, buffer } = await handle.read(new Uint8Array(PIECE_BYTES), 0, PIECE_BYTES);
      if (bytesRead === 0) return;
      yield buffer.subarray(0, bytesRead);
    }
  } finally {
    await handle.close();
  }
}

export async function hashOfFile(path: string, signal?: AbortSignal): Promise<string> {
  const hash = createHash("sha256");
  const handle = await openFile(path);
  try {
    // One for the whole file: making a new one takes longer than reading into it.
    const buffer = Buffer.allocUnsafeSlow(PIECE_BYTES);
    for (;;) {
      signal?.throwIfAborted();
      const { bytesRead } = await handle.read(buffer, 0, PIECE_BYTES);
      if (bytesRead === 0) return hash.digest("hex");
      hash.update(buffer.subarray(0, bytesRead));
    }
  } finally {
    await handle.close();
  }
}

export function unlessGone(thrown: NodeJS.ErrnoException): void {
  if (thrown.code !== "ENOENT") throw thrown;
}
