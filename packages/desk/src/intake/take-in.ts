import { join } from "node:path";
import { asSamescaleError, reportOf, type SamescaleError } from "@samescale/errors";
import type { Actor } from "../act/actor.ts";
import { doneOrThrow } from "../act/outcome.ts";
import type { Desk } from "../desk.ts";
import { cardApartFrom } from "./apart.ts";
import { finishIntake } from "./finish-intake.ts";
import { beginLooking, frameFiles } from "./frame-files.ts";
import { lastFinishedIntake, unfinishedIntake } from "./intake-rows.ts";
import type { MatchOptions } from "./match.ts";
import { type MayBeErased, mayBeErased } from "./may-be-erased.ts";
import { progressOf, type TakeInProgress } from "./progress.ts";
import { type RunningIntake, type TakenPicture, takeFile } from "./take-file.ts";
import type { FileLine, TakeInLine, TakenFile } from "./take-in-lines.ts";
import { countPlaced, newTotals, summaryOf, type Totals } from "./totals.ts";
import { type Pictures, startUnderstanding } from "./understand.ts";
import { type CardEntry, walkCard } from "./walk-card.ts";

export interface TakeIn {
  readonly desk: Desk;
  readonly actor: Actor;
  /** Folders: memory cards, or any folder of camera files. */
  readonly cards: readonly string[];
  /** Looks at the pictures: `createPicturePool()`. */
  readonly pictures: Pictures;
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: TakeInProgress) => void;
  readonly match?: MatchOptions;
}

/**
 * Takes cards in: one line per file as soon as it is safe, the summary last. The card is only read. Killed or
 * stopped at any moment and called again, it goes on and ends in the same library as an undisturbed run; a card that
 * holds nothing new is compared and changes nothing.
 *
 * @throws the signal's reason when stopped; faults of single files and of the library are lines
 */
export async function* takeIn(job: TakeIn): AsyncGenerator<TakeInLine> {
  const stop = new AbortController();
  const signal = job.signal ? AbortSignal.any([job.signal, stop.signal]) : stop.signal;
  const totals = newTotals();
  try {
    await job.desk.library.originals.sweep();
    for (const card of job.cards) {
      const ended = yield* takeCard({ ...job, signal }, card, totals);
      totals.erase.push({ card, ...ended });
      if (ended.stop) break;
    }
    yield summaryOf(totals);
  } finally {
    stop.abort(); // nobody waits for what is still being looked at
  }
}

type Job = TakeIn & { readonly signal: AbortSignal };

interface CardEnd extends MayBeErased {
  /** The library itself failed: the other cards are not begun. */
  readonly stop: boolean;
}

async function* takeCard(job: Job, card: string, totals: Totals): AsyncGenerator<TakeInLine, CardEnd> {
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
  const understanding = startUnderstanding(job.pictures, desk.library.originals, signal);
  const progress = progressOf(card, entries, job.onProgress);
  const pictures: TakenPicture[] = [];
  const taken: TakenFile[] = [];
  for (const entry of entries) {
    signal.throwIfAborted();
    const { file, stopped } = await takeOne(intake, entry, { signal, onBytes: progress.bytes });
    taken.push(file);
    totals.files.push(file);
    progress.file();
    yield lineOf(card, file);
    if (stopped) return { may: false, why: `Stopped at ${entry.path}: ${file.reason}`, stop: true };
    if ("isRaw" in file) {
      pictures.push(file);
      await beginLooking(desk, understanding, file);
    }
  }
  const erase = mayBeErased(taken);
  try {
    if (intake.id !== null) {
      const files = await frameFiles(desk, understanding, pictures, progress.looked);
      signal.throwIfAborted(); // what was asked for after the stop has no answer
      const finish = { intakeId: intake.id, files, erase, ...(job.match ? { match: job.match } : {}) };
      doneOrThrow(await finishIntake(desk, job.actor, finish));
    }
    await countPlaced(
      desk,
      pictures.map((file) => file.sha256),
      totals,
    );
    return { ...erase, stop: false };
  } catch (thrown) {
    if (signal.aborted) throw thrown;
    const error = reportOf(thrown, card);
    yield { file: card, error };
    return { may: false, why: `Its frames could not be kept: ${error.message}`, stop: true };
  }
}

/** One file; `stopped` when the library failed, so that no further one can be taken in. */
async function takeOne(
  intake: RunningIntake,
  entry: CardEntry,
  options: { readonly signal: AbortSignal; readonly onBytes: (bytes: number) => void },
): Promise<{ readonly file: TakenFile | TakenPicture; readonly stopped: boolean }> {
  try {
    return { file: await takeFile(intake, entry, options), stopped: false };
  } catch (thrown) {
    if (options.signal.aborted) throw thrown;
    const fault = asSamescaleError(thrown, entry.path);
    return { file: failed(entry, fault), stopped: fault.code !== "ORIGINAL_DAMAGED" };
  }
}

async function running(job: Job, cardPath: string, entries: readonly CardEntry[]): Promise<RunningIntake> {
  const { desk, actor } = job;
  const listing = new Map(entries.map((entry) => [entry.path, entry.bytes]));
  const { same } = await unfinishedIntake(desk.library.read, cardPath, listing);
  const finished = same ? null : await lastFinishedIntake(desk.library.read, cardPath);
  const earlier = { unfinished: same, finished };
  return { desk, actor, cardPath, listing, earlier, id: same?.id ?? null, seen: [] };
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
  };
}

function lineOf(card: string, file: TakenFile): FileLine {
  const { path, sha256, bytes, state, reason, error } = file;
  return { file: join(card, path), sha256, bytes, state, reason, ...(error ? { error } : {}) };
}
