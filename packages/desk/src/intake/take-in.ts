import { realpath } from "node:fs/promises";
import { join, relative, sep } from "node:path";
import { asSamescaleError, reportOf, SamescaleError } from "@samescale/errors";
import type { Actor } from "../act/actor.ts";
import { doneOrThrow } from "../act/outcome.ts";
import type { Desk } from "../desk.ts";
import { cameraTime } from "./camera-clock.ts";
import type { CardFrameFile } from "./card-frames.ts";
import { finishIntake } from "./finish-intake.ts";
import { lastFinishedIntake, unfinishedIntake } from "./intake-rows.ts";
import type { MatchOptions } from "./match.ts";
import { type MayBeErased, mayBeErased } from "./may-be-erased.ts";
import { type RunningIntake, type TakenPicture, takeFile } from "./take-file.ts";
import type { FileLine, SummaryLine, TakeInLine, TakenFile } from "./take-in-lines.ts";
import { type Pictures, startUnderstanding, type Understanding, type Understood } from "./understand.ts";
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

export interface TakeInProgress {
  readonly card: string;
  readonly step: "copying" | "looking";
  readonly files: number;
  readonly ofFiles: number;
  readonly bytes: number;
  readonly ofBytes: number;
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
    yield summary(totals);
  } finally {
    stop.abort(); // nobody waits for what is still being looked at
  }
}

interface Totals {
  readonly files: TakenFile[];
  readonly erase: (MayBeErased & { readonly card: string })[];
  placed: number;
  unplaced: number;
}

const newTotals = (): Totals => ({ files: [], erase: [], placed: 0, unplaced: 0 });

interface CardEnd extends MayBeErased {
  /** The library itself failed: the other cards are not begun. */
  readonly stop: boolean;
}

type Job = TakeIn & { readonly signal: AbortSignal };

async function* takeCard(job: Job, card: string, totals: Totals): AsyncGenerator<TakeInLine, CardEnd> {
  const { desk, actor, signal } = job;
  let entries: CardEntry[];
  let cardPath: string;
  try {
    cardPath = await placeOf(card, desk);
    entries = await walkCard(cardPath);
  } catch (thrown) {
    const error = reportOf(thrown, card);
    yield { file: card, error };
    return { may: false, why: error.message, stop: false };
  }
  const intake = await running(job, cardPath, entries);
  const understanding = startUnderstanding(job.pictures, desk.library.originals, signal);
  const progress = progressOf(job, card, entries);
  const pictures: TakenPicture[] = [];
  const taken: TakenFile[] = [];
  for (const entry of entries) {
    signal.throwIfAborted();
    let file: TakenFile | TakenPicture;
    try {
      file = await takeFile(intake, entry, { signal, onBytes: progress.bytes });
    } catch (thrown) {
      if (signal.aborted) throw thrown;
      const fault = asSamescaleError(thrown, entry.path);
      file = failed(entry, fault);
      if (fault.code !== "ORIGINAL_DAMAGED") {
        totals.files.push(file);
        yield lineOf(card, file);
        return { may: false, why: `Stopped at ${entry.path}: ${fault.message}`, stop: true };
      }
    }
    taken.push(file);
    totals.files.push(file);
    progress.file();
    if ("isRaw" in file) {
      pictures.push(file);
      await beginLooking(job, understanding, file);
    }
    yield lineOf(card, file);
  }
  const erase = mayBeErased(taken);
  try {
    if (intake.id !== null) {
      const files = await frameFiles(job, understanding, pictures, progress.looked);
      signal.throwIfAborted();
      const finish = { intakeId: intake.id, files, erase, ...(job.match ? { match: job.match } : {}) };
      doneOrThrow(await finishIntake(desk, actor, finish));
    }
    await countPlaced(desk, pictures, totals);
    return { ...erase, stop: false };
  } catch (thrown) {
    if (signal.aborted) throw thrown;
    const error = reportOf(thrown, card);
    yield { file: card, error };
    return { may: false, why: `Its frames could not be kept: ${error.message}`, stop: true };
  }
}

/** The card's own path, links followed to their end. A card must not hold the library, nor the library the card. */
async function placeOf(card: string, desk: Desk): Promise<string> {
  const cardPath = await realpath(card);
  const library = await realpath(desk.library.folder);
  for (const [inner, outer] of [
    [cardPath, library],
    [library, cardPath],
  ] as const) {
    const way = relative(outer, inner);
    if (way === "" || (!way.startsWith("..") && !way.startsWith(sep) && way !== inner)) {
      throw new SamescaleError(
        "CARD_AND_LIBRARY_MIXED",
        `One lies inside the other: the card ${card} and the library ${desk.library.folder}`,
        "Name the folder of the camera files itself, or choose a library elsewhere.",
      );
    }
  }
  return cardPath;
}

async function running(job: Job, cardPath: string, entries: readonly CardEntry[]): Promise<RunningIntake> {
  const { desk, actor } = job;
  const listing = new Map(entries.map((entry) => [entry.path, entry.bytes]));
  const { same } = await unfinishedIntake(desk.library.read, cardPath, listing);
  const finished = same ? null : await lastFinishedIntake(desk.library.read, cardPath);
  return {
    desk,
    actor,
    cardPath,
    listing,
    earlier: { unfinished: same, finished },
    id: same?.id ?? null,
    seen: [],
  };
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

/** A file that has its frame already was looked at when it came. A RAW is asked for codes only when it is alone. */
async function beginLooking(job: Job, understanding: Understanding, file: TakenPicture): Promise<void> {
  const row = await fileRow(job, file.sha256);
  if (row?.frame_id == null) understanding.begin(file.sha256, file.path, { codes: !file.isRaw });
}

function fileRow({ desk }: Job, sha256: string) {
  return desk.library.read
    .selectFrom("file")
    .leftJoin("frame", "frame.id", "file.frame_id")
    .select(["file.frame_id", "file.info", "frame.codes"])
    .where("file.sha256", "=", sha256)
    .executeTakeFirst();
}

/** Everything that grouping and matching need, in the order of the card; one file per original. */
async function frameFiles(
  job: Job,
  understanding: Understanding,
  pictures: readonly TakenPicture[],
  looked: () => void,
): Promise<CardFrameFile[]> {
  const alone = rawsAlone(pictures);
  for (const file of alone) {
    if ((await fileRow(job, file.sha256))?.frame_id == null)
      understanding.begin(file.sha256, file.path, { codes: true });
  }
  const files = new Map<string, CardFrameFile>();
  for (const { sha256, path, isRaw } of pictures) {
    if (files.has(sha256)) continue;
    const row = await fileRow(job, sha256);
    const frameId = row?.frame_id ?? null;
    const understood =
      row && frameId !== null ? rememberd(row.info, row.codes) : await understanding.of(sha256);
    job.signal.throwIfAborted();
    looked();
    files.set(sha256, {
      sha256,
      path,
      name: path.slice(path.lastIndexOf("/") + 1),
      isRaw: understood.info ? understood.info.format === "raw" : isRaw,
      taken: cameraTime(understood.info?.takenAt ?? null).local,
      understood,
      frameId,
    });
  }
  return [...files.values()];
}

function rememberd(info: string | null, codes: string | null): Understood {
  return { info: info && JSON.parse(info), codes: codes && JSON.parse(codes), flags: [] };
}

/** RAW files without a developed file of their name: nothing else can be asked for the frame's codes. */
function rawsAlone(pictures: readonly TakenPicture[]): TakenPicture[] {
  const stem = (path: string) => path.replace(/\.[^./]*$/, "").toLowerCase();
  const developed = new Set(pictures.filter((file) => !file.isRaw).map((file) => stem(file.path)));
  return pictures.filter((file) => file.isRaw && !developed.has(stem(file.path)));
}

async function countPlaced(desk: Desk, pictures: readonly TakenPicture[], totals: Totals): Promise<void> {
  const frames = new Map<string, boolean>();
  for (const { sha256 } of pictures) {
    const frame = await desk.library.read
      .selectFrom("file")
      .innerJoin("frame", "frame.id", "file.frame_id")
      .select(["frame.id", "frame.request_id"])
      .where("file.sha256", "=", sha256)
      .executeTakeFirst();
    if (frame) frames.set(frame.id, frame.request_id !== null);
  }
  const placed = [...frames.values()].filter((isPlaced) => isPlaced).length;
  totals.placed += placed;
  totals.unplaced += frames.size - placed;
}

function progressOf(job: Job, card: string, entries: readonly CardEntry[]) {
  const ofBytes = entries.reduce((sum, entry) => sum + entry.bytes, 0);
  let files = 0;
  let bytes = 0;
  let looked = 0;
  const tell = (step: "copying" | "looking") => {
    const done = step === "copying" ? files : looked;
    job.onProgress?.({ card, step, files: done, ofFiles: entries.length, bytes, ofBytes });
  };
  return {
    file() {
      files++;
      tell("copying");
    },
    bytes(more: number) {
      bytes += more;
      tell("copying");
    },
    looked() {
      looked++;
      tell("looking");
    },
  };
}

function summary({ files, erase, placed, unplaced }: Totals): SummaryLine {
  const count = (state: TakenFile["state"]) => files.filter((file) => file.state === state).length;
  const kept = files.filter((file) => file.state === "stored" || file.state === "already");
  const named = (each: (typeof erase)[number]) => (erase.length > 1 ? `${each.card}: ${each.why}` : each.why);
  const against = erase.filter((each) => !each.may);
  return {
    summary: {
      files: files.length,
      stored: count("stored"),
      already: count("already"),
      notPictures: count("not-a-picture"),
      unreadable: count("unreadable"),
      bytes: kept.reduce((sum, file) => sum + file.bytes, 0),
      placed,
      unplaced,
      cardMayBeErased: erase.length > 0 && against.length === 0,
      why: (against.length > 0 ? against : erase).map(named).join(" | "),
    },
  };
}
