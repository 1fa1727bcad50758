import { basename } from "node:path";
import { type ErrorReport, reportOf } from "@samescale/errors";
import type { PicturePool } from "@samescale/picture";
import type { ArrivedFrame } from "../watch/folder-event.ts";
import { judgeFolder } from "../watch/judge-folder.ts";
import { type ArrivalJudged, judgeArrival } from "./judge-arrival.ts";
import type { WatchPlan } from "./judge-view.ts";
import { BedsideSession } from "./session.ts";
import type { WordOnRecord } from "./sessions-on-record.ts";
import { FOLDER_WORDS, rounded } from "./watch-folder.ts";

/** A frame as a page shows it. */
export interface LiveFrame {
  /** By its content. */
  readonly id: string;
  readonly fileName: string;
  /** Null: it is still being judged, or could not be. */
  readonly judged: Omit<ArrivalJudged, "file"> | null;
  /** Why it could not be read. */
  readonly problem: ErrorReport | null;
  /** From the last change of the file to the verdict; null: not there yet. */
  readonly seconds: number | null;
  /** A person's word against the judgement. */
  readonly word: WordOnRecord | null;
}

/** A session at the bedside while it runs. */
export interface LiveBedside {
  /** The newest first. */
  readonly frames: readonly LiveFrame[];
  /** Keys of the views that no frame shows which may stay. */
  readonly missing: readonly string[];
  /** What is wrong with the folder, in words; null: nothing. */
  readonly folderSays: string | null;
  /** Why the watch ended by itself; null: it goes on. */
  readonly problem: ErrorReport | null;
  /** What lies in the folder and is no picture, or cannot be read. */
  readonly passedOver: readonly { readonly fileName: string; readonly why: string }[];
  /** Path of a frame's picture; null: there is no such frame. */
  fileOf(id: string): string | null;
  say(id: string, word: WordOnRecord | null): void;
  close(): Promise<void>;
}

type Kept = { -readonly [K in keyof LiveFrame]: LiveFrame[K] } & { file: string; order: number };

/** A page lists no more. */
const MOST_PASSED_OVER = 20;

/**
 * Follows a folder for one request and remembers what was said of each frame, for as many pages as look at it. Nothing of
 * the frames is written anywhere.
 * @param words what people said before this server was started
 * @param onChange told after every change
 */
export function watchLive(
  folder: string,
  pool: PicturePool,
  plan: WatchPlan,
  words: ReadonlyMap<string, WordOnRecord>,
  onChange: () => void,
): LiveBedside {
  const session = new BedsideSession(plan.views, plan.requestCode);
  for (const [id, { said }] of words) session.say(id, said);
  const frames = new Map<string, Kept>();
  const removed = new Map<string, Kept>();
  const stop = new AbortController();
  let folderSays: string | null = null;
  let problem: ErrorReport | null = null;
  let passedOver: readonly { fileName: string; why: string }[] = [];

  const passOver = (file: string, why: string) => {
    passedOver = [...passedOver.slice(1 - MOST_PASSED_OVER), { fileName: basename(file), why }];
  };
  const arrive = (frame: ArrivedFrame) => {
    frames.set(frame.id, {
      id: frame.id,
      fileName: basename(frame.judgedFile),
      file: frame.judgedFile,
      // Of what one look found the newest is given first.
      order: frame.completeAtMs - frames.size * 1e-6,
      judged: null,
      problem: null,
      seconds: null,
      word: words.get(frame.id) ?? null,
    });
  };
  const change = (id: string, to: Partial<Kept>) => {
    const known = frames.get(id);
    if (known) frames.set(id, { ...known, ...to });
  };

  async function watch(): Promise<void> {
    const events = judgeFolder<ArrivalJudged>(folder, {
      signal: stop.signal,
      workers: pool.threads,
      judge: (frame, signal) => judgeArrival(frame, session, pool, plan, signal),
    });
    for await (const event of events) {
      switch (event.kind) {
        case "frame":
          arrive(event);
          break;
        case "files": {
          const [first] = event.files;
          const returned = removed.get(event.id);
          if (returned && removed.delete(event.id)) {
            session.takeBack(event.id);
            frames.set(event.id, returned);
          }
          if (first) change(event.id, { file: first.path, fileName: basename(first.path) });
          break;
        }
        case "judged": {
          const { file: _, ...judged } = event.verdict;
          change(event.frame.id, { judged, problem: null, seconds: rounded(event.seconds) });
          break;
        }
        case "failed":
          change(event.frame.id, { problem: event.error, seconds: rounded(event.seconds) });
          break;
        case "removed": {
          const gone = frames.get(event.id);
          session.remove(event.id);
          if (gone && frames.delete(event.id)) removed.set(event.id, gone);
          break;
        }
        case "unreadable":
          passOver(event.file, event.error.message);
          break;
        case "ignored":
          passOver(event.file, event.why);
          break;
        case "folder":
          folderSays = event.state === "back" ? null : FOLDER_WORDS[event.state];
          break;
      }
      onChange();
    }
  }
  const watching = watch().catch((thrown) => {
    if (stop.signal.aborted) return;
    problem = reportOf(thrown, folder);
    onChange();
  });

  return {
    get frames() {
      return [...frames.values()]
        .sort((a, b) => b.order - a.order)
        .map(({ file: _, order: __, ...frame }) => frame);
    },
    get missing() {
      return session.missing;
    },
    get folderSays() {
      return folderSays;
    },
    get problem() {
      return problem;
    },
    get passedOver() {
      return passedOver;
    },
    fileOf: (id) => frames.get(id)?.file ?? null,
    say(id, word) {
      session.say(id, word?.said ?? null);
      change(id, { word });
      onChange();
    },
    async close() {
      stop.abort();
      await watching;
    },
  };
}
