import { extname, join } from "node:path";
import { asSamescaleError, reportOf, type SamescaleError } from "@samescale/errors";
import { doneOrThrow } from "../act/outcome.ts";
import { keepPictures, type PictureBody } from "../derive/keep-pictures.ts";
import { openSpool, type Spool } from "../derive/spool.ts";
import type { Desk } from "../desk.ts";
import { cardApartFrom } from "./apart.ts";
import type { CardFrameFile } from "./card-frames.ts";
import { finishIntake } from "./finish-intake.ts";
import { beginLooking, frameFiles } from "./frame-files.ts";
import { lastFinishedIntake, unfinishedIntake } from "./intake-rows.ts";
import { type MayBeErased, mayBeErased } from "./may-be-erased.ts";
import { progressOf } from "./progress.ts";
import type { SecondCopies } from "./second-copies.ts";
import { namedAlike } from "./sidecars.ts";
import { type KeptFile, type RunningIntake, takeFile } from "./take-file.ts";
import type { TakeIn } from "./take-in.ts";
import type { FileLine, TakeInLine, TakenFile } from "./take-in-lines.ts";
import { countPlaced, type Totals } from "./totals.ts";
import { startUnderstanding, type Understanding } from "./understand.ts";
import { type CardEntry, walkCard } from "./walk-card.ts";

/** A call of take-in, ready to take its cards. */
export type Job = TakeIn & { readonly signal: AbortSignal; readonly second: SecondCopies };

export interface CardEnd extends MayBeErased {
  /** The library itself failed: the other cards are not begun. */
  readonly stop: boolean;
}

export async function* takeCard(job: Job, card: string, totals: Totals): AsyncGenerator<TakeInLine, CardEnd> {
  let entries: CardEntry[];
  let intake: RunningIntake;
  try {
    const cardPath = await cardApartFrom(card, job.desk.library.folder);
    entries = await walkCard(cardPath);
    intake = await running(job, cardPath, entries);
  } catch (thrown) {
    const error = reportOf(thrown, card);
    yield { file: card, error };
    return { may: false, why: error.message, stop: false };
  }
  const { desk, signal } = job;
  const spool = await openSpool(desk.library.folder);
  try {
    const understanding = startUnderstanding(job.pictures, desk.library.originals, spool, signal);
    const progress = progressOf(card, entries, job.onProgress);
    const read = yield* readFiles(job, intake, { card, entries, understanding, progress, totals });
    if (read.stopped !== null) return { may: false, why: read.stopped, stop: true };
    const erase = notErased(mayBeErased(read.taken, job.second), job.notToErase?.(read.taken) ?? null);
    try {
      const { kept } = read;
      const gaps = mayBePictures(read.notHad, kept);
      if (intake.id !== null) {
        const files = await frameFiles(desk, understanding, kept, progress.looked);
        signal.throwIfAborted(); // what was asked for after the stop has no answer
        const pictures = await picturesOf(desk, spool, files);
        const match = job.match ? { match: job.match } : {};
        const finish = { intakeId: intake.id, files, gaps, pictures, erase, ...match };
        doneOrThrow(await finishIntake(desk, job.actor, finish));
      }
      const originals = kept.map((file) => file.sha256);
      await countPlaced(desk, originals, totals);
      return { ...erase, stop: false };
    } catch (thrown) {
      if (signal.aborted) throw thrown;
      const error = reportOf(thrown, card);
      yield { file: card, error };
      return { may: false, why: `Its frames could not be kept: ${error.message}`, stop: true };
    }
  } finally {
    await spool.close();
  }
}

/** What speaks against it comes first; what the card's own files say stays. */
const notErased = (erase: MayBeErased, why: string | null): MayBeErased =>
  why === null ? erase : { may: false, why: erase.may ? why : `${why}. ${erase.why}` };

interface Reading {
  readonly card: string;
  readonly entries: readonly CardEntry[];
  readonly understanding: Understanding;
  readonly progress: ReturnType<typeof progressOf>;
  readonly totals: Totals;
}

interface Read {
  readonly taken: readonly TakenFile[];
  readonly kept: readonly KeptFile[];
  /** Paths of files that were not taken in. */
  readonly notHad: readonly string[];
  /** Why the library can take no more; null: the card was gone through. */
  readonly stopped: string | null;
}

/** Every file of the card, one line each; the pool looks at the pictures meanwhile. */
async function* readFiles(
  job: Job,
  intake: RunningIntake,
  reading: Reading,
): AsyncGenerator<TakeInLine, Read> {
  const { card, entries, understanding, progress, totals } = reading;
  const kept: KeptFile[] = [];
  const taken: TakenFile[] = [];
  const notHad: string[] = [];
  for (const entry of entries) {
    job.signal.throwIfAborted();
    const { file, stopped } = await takeOne(intake, entry, { signal: job.signal, onBytes: progress.bytes });
    taken.push(file);
    totals.files.push(file);
    progress.file();
    yield lineOf(card, file);
    if (stopped) return { taken, kept, notHad, stopped: `Stopped at ${entry.path}: ${file.reason}` };
    if ("isRaw" in file) {
      kept.push(file);
      try {
        await beginLooking(job.desk, understanding, file);
      } catch (thrown) {
        if (job.signal.aborted) throw thrown;
        const error = reportOf(thrown, card);
        yield { file: card, error };
        return { taken, kept, notHad, stopped: `Stopped after ${entry.path}: ${error.message}` };
      }
    } else if (entry.kind === "file" || entry.kind === "unreadable") notHad.push(entry.path);
  }
  return { taken, kept, notHad, stopped: null };
}

/** Moves the small pictures of new frames into their store. */
async function picturesOf(
  desk: Desk,
  spool: Spool,
  files: readonly CardFrameFile[],
): Promise<Map<string, readonly PictureBody[]>> {
  const fresh = files.filter(({ frameId }) => frameId === null);
  const waiting = fresh.flatMap(({ understood }) => understood.pictures);
  const kept = await keepPictures(desk.library, spool, waiting);
  const pictures = new Map<string, readonly PictureBody[]>();
  for (const { sha256, understood } of fresh)
    pictures.set(sha256, kept.splice(0, understood.pictures.length));
  return pictures;
}

/**
 * What was not had, unreadable or no picture by its content, and is called like the pictures of this card: a label
 * frame may be among it.
 */
function mayBePictures(notHad: readonly string[], kept: readonly KeptFile[]): string[] {
  const called = new Set(kept.filter(({ kind }) => kind === "picture").map(({ path }) => extension(path)));
  return notHad.filter((path) => called.has(extension(path)));
}

const extension = (path: string) => extname(path).toLowerCase();

/** One file; `stopped` when the library failed, so that no further one can be taken in. */
async function takeOne(
  intake: RunningIntake,
  entry: CardEntry,
  options: { readonly signal: AbortSignal; readonly onBytes: (bytes: number) => void },
): Promise<{ readonly file: TakenFile | KeptFile; readonly stopped: boolean }> {
  try {
    return { file: await takeFile(intake, entry, options), stopped: false };
  } catch (thrown) {
    if (options.signal.aborted) throw thrown;
    const fault = asSamescaleError(thrown, entry.path);
    return { file: failed(entry, fault), stopped: fault.code !== "ORIGINAL_DAMAGED" };
  }
}

async function running(job: Job, cardPath: string, entries: readonly CardEntry[]): Promise<RunningIntake> {
  const { desk, actor, second } = job;
  const listing = new Map(entries.map((entry) => [entry.path, entry.bytes]));
  const { same } = await unfinishedIntake(desk.library.read, cardPath, listing);
  const finished = same ? null : await lastFinishedIntake(desk.library.read, cardPath);
  const earlier = { unfinished: same, finished };
  const alike = namedAlike(entries);
  return { desk, actor, cardPath, listing, alike, second, earlier, id: same?.id ?? null, seen: [] };
}

function failed(entry: CardEntry, fault: SamescaleError): TakenFile {
  const { path, bytes } = entry;
  const error = reportOf(fault, path);
  return {
    path,
    bytes,
    sha256: null,
    state: "unreadable",
    reason: fault.message,
    error,
    leftBySystem: false,
    kind: null,
    hasCopy: false,
  };
}

function lineOf(card: string, file: TakenFile): FileLine {
  const { path, sha256, bytes, state, reason, kind, hasCopy, error } = file;
  const copies = sha256 === null ? 0 : hasCopy ? 2 : 1;
  return { file: join(card, path), sha256, bytes, state, reason, kind, copies, ...(error ? { error } : {}) };
}
