import { createHash } from "node:crypto";
import { SamescaleError } from "@samescale/errors";
import type { PutOptions, Source } from "../originals/originals.ts";
import { changedContent, damaged, decrypted, encrypted } from "./cipher.ts";
import type { BackupPlace } from "./place.ts";

/** Something kept in a place: the SHA-256 of its content, and the name of the piece, which an encrypted one has of its own. */
export interface Ref {
  readonly sha256: string;
  readonly stored?: string;
}

/** A store that does not answer is no fault of one file: the run ends, and the next one goes on. */
export const isOfTheStore = ({ code }: SamescaleError): boolean => code.startsWith("STORE_");

export const pieceOf = (ref: Ref): string => ref.stored ?? ref.sha256;

/** Puts bytes that are at hand; a piece that is there already is not written again. */
export async function putBytes(
  place: BackupPlace,
  bytes: Uint8Array,
  known: ReadonlyMap<string, Ref> = new Map(),
): Promise<Ref> {
  const sha256 = createHash("sha256").update(bytes).digest("hex");
  const there = known.get(sha256);
  if (there !== undefined && (await place.pieces.has(pieceOf(there)))) return there;
  const put = await putStream(place, sha256, {
    name: `a piece of ${bytes.length} bytes`,
    async *read() {
      yield bytes;
    },
  });
  if ("unreadable" in put) throw put.unreadable;
  return put;
}

/**
 * Puts what has this SHA-256. A source that fails, or has another hash, is an answer and leaves nothing.
 * @throws SamescaleError what the place throws
 */
export async function putStream(
  place: BackupPlace,
  sha256: string,
  source: Source,
  options: PutOptions = {},
): Promise<Ref | { readonly unreadable: SamescaleError }> {
  const { key, pieces } = place;
  const read = () => (key === null ? source.read() : encrypted(key, sha256, source.read()));
  const put = await pieces.put({ name: source.name, read }, options);
  if (put.state === "unreadable") return { unreadable: put.error };
  if (key !== null) return { sha256, stored: put.sha256 };
  if (put.sha256 === sha256) return { sha256 };
  if (put.state === "stored") await pieces.destroy(put.sha256);
  return { unreadable: changedContent(sha256) };
}

/** What was put: checked against both hashes while it is read. @throws SamescaleError BACKUP_DAMAGED */
export async function* openPiece(place: BackupPlace, ref: Ref): AsyncGenerator<Uint8Array> {
  const name = pieceOf(ref);
  const asStored = hashed(opened(place, name));
  const content = hashed(place.key === null ? asStored.bytes : decrypted(place.key, name, asStored.bytes));
  yield* content.bytes;
  if (asStored.digest() !== name)
    throw damaged(name, "its bytes do not have the SHA-256 that it is named by");
  if (content.digest() !== ref.sha256) throw damaged(name, `it does not hold ${ref.sha256}`);
}

/** What fits in memory. */
export async function readPiece(place: BackupPlace, ref: Ref): Promise<Buffer> {
  const parts: Uint8Array[] = [];
  let bytes = 0;
  for await (const part of openPiece(place, ref)) {
    bytes += part.length;
    if (bytes > MOST_IN_MEMORY) throw damaged(pieceOf(ref), "it is longer than any that was written");
    parts.push(part);
  }
  return Buffer.concat(parts);
}

const MOST_IN_MEMORY = 1 << 28;

async function* opened(place: BackupPlace, name: string): AsyncGenerator<Uint8Array> {
  try {
    yield* place.pieces.open(name);
  } catch (thrown) {
    if ((thrown as { code?: string }).code !== "ORIGINAL_MISSING") throw thrown;
    throw new SamescaleError(
      "BACKUP_INCOMPLETE",
      `The piece ${name} is not in the backup`,
      "Take another copy of the backup, or an older backup.",
    );
  }
}

function hashed(source: AsyncIterable<Uint8Array>) {
  const hash = createHash("sha256");
  return {
    bytes: (async function* () {
      for await (const part of source) {
        hash.update(part);
        yield part;
      }
    })(),
    digest: () => hash.digest("hex"),
  };
}
