import { createCipheriv, createDecipheriv, createHash, createHmac, hkdfSync } from "node:crypto";
import { SamescaleError } from "@samescale/errors";

/** What a piece begins with; then 32 bytes of salt, then the chunks. */
const MAGIC = Buffer.from("SAMESCALE PIECE 1\n");
const SALT_BYTES = 32;
export const CHUNK_BYTES = 1 << 20;
const TAG_BYTES = 16;

/** The one key of a backup place (key.ts); everything else follows from it. */
export type BackupKey = Uint8Array;

/**
 * A piece encrypted with AES-256-GCM in chunks of 1 MiB (docs/keep.md tells it to the byte, with code that reads it). Its
 * key follows from the place's key and from the SHA-256 of what it holds: the same content is always the same bytes,
 * so it is stored once and is named by the SHA-256 of the stored bytes, which anybody can check without the key. Bytes
 * that do not have the stated hash would meet a key that is not theirs: they end in an error, and no piece stays of them.
 *
 * The nonce is the chunk's number, and whether it is the last: chunks cannot be swapped or cut off.
 * @source RFC5869 HKDF
 * @source SP800-38D AES-GCM
 */
export async function* encrypted(
  key: BackupKey,
  sha256: string,
  source: AsyncIterable<Uint8Array>,
): AsyncGenerator<Uint8Array> {
  const salt = createHmac("sha256", subkey(key, Buffer.alloc(0), "samescale backup salt"))
    .update(Buffer.from(sha256, "hex"))
    .digest();
  yield Buffer.concat([MAGIC, salt]);
  const pieceKey = subkey(key, salt, "samescale backup piece");
  const hash = createHash("sha256");
  let number = 0;
  for await (const { chunk, isLast } of chunked(source, CHUNK_BYTES)) {
    hash.update(chunk);
    if (isLast && hash.digest("hex") !== sha256) throw changedContent(sha256);
    const cipher = createCipheriv("aes-256-gcm", pieceKey, nonceOf(number++, isLast));
    yield Buffer.concat([cipher.update(chunk), cipher.final(), cipher.getAuthTag()]);
  }
}

/** What a piece holds. @throws SamescaleError BACKUP_DAMAGED where a byte of it is not as it was written */
export async function* decrypted(
  key: BackupKey,
  name: string,
  source: AsyncIterable<Uint8Array>,
): AsyncGenerator<Uint8Array> {
  const reader = new Reader(source);
  const head = await reader.take(MAGIC.length + SALT_BYTES);
  if (!head.subarray(0, MAGIC.length).equals(MAGIC)) throw damaged(name, "it does not begin as one");
  const pieceKey = subkey(key, head.subarray(MAGIC.length), "samescale backup piece");
  let number = 0;
  for await (const { chunk, isLast } of chunked(reader.rest(), CHUNK_BYTES + TAG_BYTES)) {
    if (chunk.length < TAG_BYTES) throw damaged(name, "it ends too early");
    const decipher = createDecipheriv("aes-256-gcm", pieceKey, nonceOf(number++, isLast));
    decipher.setAuthTag(chunk.subarray(chunk.length - TAG_BYTES));
    try {
      yield Buffer.concat([decipher.update(chunk.subarray(0, -TAG_BYTES)), decipher.final()]);
    } catch {
      throw damaged(name, `chunk ${number} was changed, or is encrypted with another key`);
    }
  }
}

function subkey(key: BackupKey, salt: Uint8Array, use: string): Buffer {
  return Buffer.from(hkdfSync("sha256", key, salt, use, 32));
}

function nonceOf(number: number, isLast: boolean): Buffer {
  const nonce = Buffer.alloc(12);
  nonce.writeUIntBE(number, 5, 6);
  nonce[11] = isLast ? 1 : 0;
  return nonce;
}

/** The source in chunks of one size, the last one shorter; of an empty source one empty chunk. */
async function* chunked(
  source: AsyncIterable<Uint8Array>,
  size: number,
): AsyncGenerator<{ readonly chunk: Buffer; readonly isLast: boolean }> {
  let parts: Uint8Array[] = [];
  let length = 0;
  for await (const part of source) {
    parts.push(part);
    length += part.length;
    if (length <= size) continue;
    // Only what is surely not the last chunk goes out here.
    const all = Buffer.concat(parts, length);
    let at = 0;
    for (; length - at > size; at += size) yield { chunk: all.subarray(at, at + size), isLast: false };
    parts = [all.subarray(at)];
    length -= at;
  }
  yield { chunk: Buffer.concat(parts, length), isLast: true };
}

class Reader {
  readonly #source: AsyncIterator<Uint8Array>;
  #held = Buffer.alloc(0);

  constructor(source: AsyncIterable<Uint8Array>) {
    this.#source = source[Symbol.asyncIterator]();
  }

  /** The next bytes; fewer where the source ends. */
  async take(bytes: number): Promise<Buffer> {
    while (this.#held.length < bytes) {
      const next = await this.#source.next();
      if (next.done) break;
      this.#held = Buffer.concat([this.#held, next.value]);
    }
    const taken = this.#held.subarray(0, bytes);
    this.#held = this.#held.subarray(bytes);
    return taken;
  }

  async *rest(): AsyncGenerator<Uint8Array> {
    if (this.#held.length > 0) yield this.#held;
    for (;;) {
      const next = await this.#source.next();
      if (next.done) return;
      yield next.value;
    }
  }
}

export function damaged(name: string, why: string): SamescaleError {
  return new SamescaleError(
    "BACKUP_DAMAGED",
    `The piece ${name} of the backup is damaged: ${why}`,
    "Take another copy of the backup, or an older backup; check the disk that holds this one.",
  );
}

export function changedContent(sha256: string): SamescaleError {
  return new SamescaleError(
    "ORIGINAL_DAMAGED",
    `What lies in the library under ${sha256} has another SHA-256`,
    "Run `samescale verify`, and put the file back from an earlier backup or from the card.",
  );
}
