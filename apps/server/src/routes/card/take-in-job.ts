import { basename } from "node:path";
import {
  type Actor,
  type FileLine,
  type SummaryLine,
  type TakeIn,
  type TakeInProgress,
  takeIn,
} from "@samescale/desk";
import { type ErrorReport, SamescaleError } from "@samescale/errors";
import { secondPlaceOf } from "@samescale/practice";
import type { AreaDeps } from "../../deps.ts";
import type { Job } from "../../jobs/jobs.ts";

/** What became of one file of a card. */
export interface CardFileResult {
  /** Relative to the card. */
  readonly path: string;
  readonly state: "stored" | "already" | "not-a-picture" | "unreadable";
  readonly bytes: number;
  readonly sha256: string | null;
  readonly reason: string | null;
  /** Verified copies that are kept: 2 with that at the second place; null: not known any more. */
  readonly copies: 0 | 1 | 2 | null;
}

/** How a card was taken in. */
export interface CardResult {
  readonly card: string;
  readonly files: readonly CardFileResult[];
  /** Faults of the card or the library as a whole. */
  readonly faults: readonly ErrorReport[];
  readonly summary: SummaryLine["summary"] | null;
}

type Taken = Pick<AreaDeps, "desk" | "pool" | "practice" | "jobs">;

/** A card is taken in once at a time: by its path, the job that does it. */
const running = new WeakMap<Taken["desk"], Map<string, Job>>();

/** What whoever brought the card knows of it, and does with it afterwards. */
export interface Brought {
  readonly notToErase?: TakeIn["notToErase"];
  readonly afterwards?: (result: CardResult) => Promise<void>;
}

/** Begins to take a folder in, as long work; asked for again while it runs, answers with the same work. */
export function startTakeIn(
  deps: Taken,
  actor: Actor,
  folder: string,
  { notToErase, afterwards }: Brought = {},
): Job {
  const { desk, jobs } = deps;
  const cards = running.get(desk) ?? new Map<string, Job>();
  running.set(desk, cards);
  const other = cards.get(folder);
  if (other !== undefined) {
    const mine = jobs.jobOf(actor, other.id);
    if (mine) return mine;
    throw new SamescaleError(
      "CARD_BUSY",
      `${basename(folder)} is being taken in by somebody else just now`,
      "Wait until they are done: their result is shown here as well.",
    );
  }
  const job = jobs.start(actor, basename(folder), async (step, signal) => {
    try {
      const files: CardFileResult[] = [];
      const faults: ErrorReport[] = [];
      let summary: SummaryLine["summary"] | null = null;
      const onProgress = stepsOf(step);
      const secondPlace = secondPlaceOf(await deps.practice());
      const lines = takeIn({
        desk,
        actor,
        cards: [folder],
        secondPlace,
        pictures: deps.pool,
        signal,
        onProgress,
        ...(notToErase ? { notToErase } : {}),
      });
      for await (const line of lines) {
        if ("summary" in line) summary = line.summary;
        else if ("state" in line) files.push(resultOf(folder, line));
        else faults.push(line.error);
      }
      const result = { card: basename(folder), files, faults, summary };
      await afterwards?.(result);
      return result;
    } finally {
      cards.delete(folder);
    }
  });
  if (job.state === "running") cards.set(folder, job);
  return job;
}

function resultOf(folder: string, line: FileLine): CardFileResult {
  const { state, bytes, sha256, reason, copies } = line;
  return { path: line.file.slice(folder.length + 1), state, bytes, sha256, reason, copies };
}

/** Copying and looking are one way for the person: each is half of it, so that it never goes back. */
function stepsOf(step: (at: { done: number; total: number; at: string }) => void) {
  const beganMs = performance.now();
  let copied = 0;
  let looked = 0;
  return (progress: TakeInProgress) => {
    if (progress.step === "copying") copied = progress.files;
    else looked = progress.files;
    const seconds = Math.max((performance.now() - beganMs) / 1000, 0.1);
    const rate = `${(progress.bytes / 1e6 / seconds).toFixed(1)} MB/s`;
    const at = progress.step === "copying" ? `copying, ${rate}` : "looking at the pictures";
    step({ done: Math.floor((copied + looked) / 2), total: progress.ofFiles, at });
  };
}
