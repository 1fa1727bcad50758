import { crc32 } from "node:zlib";
import { canonicalJson, type Json } from "../custody/canonical.ts";
import { damaged } from "./cipher.ts";
import { pieceOf, putBytes, type Ref, readPiece } from "./pieces.ts";
import type { BackupPlace } from "./place.ts";

/** About one line in so many ends a piece. */
const CUT_MASK = 0x3ff;
const MOST_LINES = 8192;
const MOST_BYTES = 1 << 23;

/**
 * Writes lines as pieces. Where a piece ends depends on the keys of its lines alone, so lines that did not change make
 * the pieces of the backup before, and only those around a change are new.
 */
export function lineWriter(place: BackupPlace, known: ReadonlyMap<string, Ref>) {
  let lines: string[] = [];
  let bytes = 0;
  let count = 0;
  const refs: Ref[] = [];
  const flush = async () => {
    if (lines.length === 0) return;
    const content = Buffer.from(lines.join(""));
    lines = [];
    bytes = 0;
    refs.push(await putBytes(place, content, known));
  };
  return {
    refs: refs as readonly Ref[],
    count: () => count,
    async add(key: string, line: string) {
      lines.push(`${line}\n`);
      bytes += line.length;
      count++;
      if ((crc32(key) & CUT_MASK) === 0 || lines.length >= MOST_LINES || bytes >= MOST_BYTES) await flush();
    },
    flush,
  };
}

/** The lines of these pieces, one after the other, as the objects that they are. */
export async function* linesOf<Line>(place: BackupPlace, refs: readonly Ref[]): AsyncGenerator<Line> {
  for (const ref of refs) yield* await linesOfPiece<Line>(place, ref);
}

export async function linesOfPiece<Line>(place: BackupPlace, ref: Ref): Promise<Line[]> {
  const text = (await readPiece(place, ref)).toString("utf8");
  try {
    return text
      .split("\n")
      .filter((line) => line !== "")
      .map((line) => JSON.parse(line) as Line);
  } catch {
    throw damaged(pieceOf(ref), "it does not hold lines of JSON");
  }
}

export const lineText = (value: object): string => canonicalJson(value as { [key: string]: Json });
