import type { Originals } from "../originals/originals.ts";
import { linesOf, lineText, lineWriter } from "./lines.ts";
import { type Lines, rowOf, type Stored } from "./manifest.ts";
import { isOfTheStore, pieceOf, putStream, type Ref } from "./pieces.ts";
import type { BackupPlace } from "./place.ts";

/** A file that the rows of a backup tell of. */
export interface WantedFile {
  readonly row?: string;
  readonly sha256: string;
  readonly bytes: number;
}

export interface CopyFiles {
  readonly place: BackupPlace;
  readonly store: Originals;
  readonly what: "original" | "derived picture";
  /** In the order of their rows. */
  readonly wanted: AsyncIterable<WantedFile>;
  /** Lists of the backup before and of a run that was killed, in the same order. */
  readonly earlier: readonly (readonly Ref[])[];
  readonly known: ReadonlyMap<string, Ref>;
  readonly signal?: AbortSignal;
  readonly onFile: (copiedBytes: number | null) => void;
  readonly onFault: (fault: string) => void;
  /** Told now and then how far the list has come. */
  readonly onList: (refs: readonly Ref[]) => Promise<void>;
}

const NOTE_EVERY_MS = 5000;

/** Copies what the place does not have yet; returns the list of everything that belongs to this backup. */
export async function copyFiles(job: CopyFiles): Promise<Lines> {
  const { place, signal } = job;
  const earlier = job.earlier.map((refs) => lookup(linesOf<Stored>(place, refs)));
  const writer = lineWriter(place, job.known);
  let noted = performance.now();
  for await (const file of job.wanted) {
    signal?.throwIfAborted();
    const there = await stored(place, file, earlier);
    const ref = there ?? (await copied(job, file));
    if (ref === null) continue;
    job.onFile(there === null ? file.bytes : null);
    await writer.add(rowOf(file), lineText({ ...ref, ...file }));
    if (performance.now() - noted < NOTE_EVERY_MS) continue;
    noted = performance.now();
    await job.onList(writer.refs);
  }
  await writer.flush();
  await job.onList(writer.refs);
  return { count: writer.count(), pieces: [...writer.refs] };
}

async function stored(
  place: BackupPlace,
  file: WantedFile,
  earlier: readonly ((row: string) => Promise<Stored | null>)[],
): Promise<Ref | null> {
  for (const find of earlier) {
    const line = await find(rowOf(file));
    if (line === null || line.sha256 !== file.sha256 || !(await place.pieces.has(pieceOf(line)))) continue;
    return line.stored === undefined ? { sha256: line.sha256 } : { sha256: line.sha256, stored: line.stored };
  }
  if (place.key === null && (await place.pieces.has(file.sha256))) return { sha256: file.sha256 };
  return null;
}

async function copied(job: CopyFiles, { sha256, row }: WantedFile): Promise<Ref | null> {
  const { place, store, what, signal } = job;
  const source = { name: `${what} ${row ?? sha256}`, read: () => store.open(sha256) };
  const put = await putStream(place, sha256, source, signal ? { signal } : {});
  if (!("unreadable" in put)) return put;
  if (isOfTheStore(put.unreadable)) throw put.unreadable;
  job.onFault(`${source.name}: ${put.unreadable.message}`);
  return null;
}

/** Finds lines in a list that is in order, for rows that are asked for in order: neither is ever held as a whole. */
function lookup(lines: AsyncIterator<Stored>): (row: string) => Promise<Stored | null> {
  let at: Stored | null | undefined;
  const next = async () => {
    // A list that cannot be read saves no time, and does no harm: what it names is copied anew.
    const read = await lines.next().catch(() => ({ done: true as const, value: undefined }));
    at = read.done ? null : read.value;
  };
  return async (row) => {
    if (at === undefined) await next();
    while (at && rowOf(at) < row) await next();
    return at && rowOf(at) === row ? at : null;
  };
}
