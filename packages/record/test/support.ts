import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { TestContext } from "node:test";
import type { Source } from "../src/index.ts";

/** A folder that is gone after the test. */
export async function temporaryFolder(t: TestContext): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), "samescale-record-"));
  t.after(() => rm(folder, { recursive: true, force: true }));
  return folder;
}

export function sourceOf(bytes: Uint8Array, name = "DSC_0001.JPG", pieceBytes = 1000): Source {
  return {
    name,
    async *read() {
      for (let at = 0; at < bytes.length; at += pieceBytes) yield bytes.subarray(at, at + pieceBytes);
    },
  };
}

/** Small, fast, seeded: mulberry32. */
export function randomFrom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

export function bytesOf(length: number, seed: number): Uint8Array {
  const random = randomFrom(seed);
  return Uint8Array.from({ length }, () => Math.floor(random() * 256));
}

/** A clock that ticks a second at every look, and ids that count. */
export function steadyOptions(): { clock: () => Date; newId: () => string } {
  let ticks = 0;
  let ids = 0;
  return {
    clock: () => new Date(Date.UTC(2026, 2, 15, 9, 0, ticks++)),
    newId: () => `id-${String(++ids).padStart(4, "0")}`,
  };
}

export async function all<T>(from: AsyncIterable<T>): Promise<T[]> {
  const items: T[] = [];
  for await (const item of from) items.push(item);
  return items;
}
