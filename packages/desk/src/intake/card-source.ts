import { constants } from "node:fs";
import { type FileHandle, open } from "node:fs/promises";
import { SamescaleError } from "@samescale/errors";
import type { Source } from "@samescale/record";
import { HEAD_BYTES } from "./recognise.ts";
import type { CardEntry } from "./walk-card.ts";

const PIECE_BYTES = 1 << 20;

/**
 * Read only; not through a link that took the file's place since the card was walked; and without waiting for
 * ever where a pipe did.
 */
const FLAGS = constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0) | (constants.O_NONBLOCK ?? 0);

/**
 * The file of a card as a source for the originals. A file that changes while it is read is a fault of the source. A
 * piece is good until the next one is asked for: all lie in one buffer, as making a new one takes longer than reading.
 */
export function cardSource(entry: CardEntry): Source {
  return {
    name: entry.path,
    async *read() {
      const handle = await openFile(entry);
      try {
        const before = await handle.stat();
        let bytes = 0;
        for await (const piece of pieces(handle)) {
          bytes += piece.length;
          yield piece;
        }
        const after = await handle.stat();
        if (bytes !== before.size || after.size !== before.size || after.mtimeMs !== before.mtimeMs) {
          throw new SamescaleError(
            "CARD_FILE_CHANGED",
            `The file changed while it was read: ${entry.path}, ${before.size} bytes at first, ${bytes} read`,
            "Let no other program write to the card, and take it in again.",
          );
        }
      } finally {
        await handle.close();
      }
    },
  };
}

/** The first bytes of the file, fewer when it is shorter. */
export async function headOf(entry: CardEntry): Promise<Buffer> {
  const handle = await openFile(entry);
  try {
    const { bytesRead, buffer } = await handle.read(Buffer.alloc(HEAD_BYTES), 0, HEAD_BYTES, 0);
    return buffer.subarray(0, bytesRead);
  } finally {
    await handle.close();
  }
}

async function openFile(entry: CardEntry): Promise<FileHandle> {
  const handle = await open(entry.at, FLAGS);
  if ((await handle.stat()).isFile()) return handle;
  await handle.close();
  throw new SamescaleError(
    "CARD_FILE_CHANGED",
    `This is no plain file any more: ${entry.path}`,
    "Let no other program write to the card, and take it in again.",
  );
}

async function* pieces(handle: FileHandle): AsyncGenerator<Uint8Array> {
  const buffer = Buffer.allocUnsafeSlow(PIECE_BYTES);
  for (;;) {
    const { bytesRead } = await handle.read(buffer, 0, PIECE_BYTES);
    if (bytesRead === 0) return;
    yield buffer.subarray(0, bytesRead);
  }
}
