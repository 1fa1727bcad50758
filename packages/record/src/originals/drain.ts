import { createHash } from "node:crypto";
import { asSamescaleError, type SamescaleError } from "@samescale/errors";
import type { PutOptions, Source } from "./originals.ts";

export type Read = { readonly sha256: string; readonly bytes: number } | { readonly error: SamescaleError };

/** Reads the source to its end. Its faults are an answer; those of `take` are thrown. */
export async function drain(
  source: Source,
  options: PutOptions,
  take: (piece: Uint8Array) => Promise<void>,
): Promise<Read> {
  const hash = createHash("sha256");
  let bytes = 0;
  const reader = source.read()[Symbol.asyncIterator]();
  try {
    for (;;) {
      options.signal?.throwIfAborted();
      const next = await nextPiece(reader, source.name);
      if ("error" in next) return next;
      if (next.done) return { sha256: hash.digest("hex"), bytes };
      hash.update(next.piece);
      bytes += next.piece.length;
      await take(next.piece);
      options.onBytes?.(next.piece.length);
    }
  } finally {
    await reader.return?.().catch(() => {}); // closing a source that failed may fail as well
  }
}

async function nextPiece(
  reader: AsyncIterator<Uint8Array>,
  name: string,
): Promise<{ done: true } | { done: false; piece: Uint8Array } | { error: SamescaleError }> {
  try {
    const next = await reader.next();
    return next.done ? { done: true } : { done: false, piece: next.value };
  } catch (thrown) {
    return { error: asSamescaleError(thrown, name) };
  }
}
