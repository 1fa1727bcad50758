import { existsSync } from "node:fs";
import { PassThrough } from "node:stream";
import { type ErrorReport, reportOf } from "@samescale/errors";
import type { ArrivedFrame, FolderEvent } from "./folder-event.ts";
import { type FollowOptions, followFolder } from "./follow-folder.ts";
import { NewestFirst } from "./newest-first.ts";

export interface JudgeFolderOptions<V> extends FollowOptions {
  /** Judges one frame; what it throws is told with the frame's name, and the watch goes on. */
  readonly judge: (frame: ArrivedFrame, signal: AbortSignal) => Promise<V>;
  /** Frames judged at a time: the threads of the picture pool. */
  readonly workers: number;
}

export type JudgedEvent<V> =
  | FolderEvent
  /** `seconds`: from when the last change to the file was seen, to the verdict. */
  | { readonly kind: "judged"; readonly frame: ArrivedFrame; readonly verdict: V; readonly seconds: number }
  | {
      readonly kind: "failed";
      readonly frame: ArrivedFrame;
      readonly error: ErrorReport;
      readonly seconds: number;
    };

/**
 * Follows a folder and judges its frames, the newest first (with `once` in the order of their names). A frame that is
 * removed before its verdict gets none; one whose folder went away is judged when the folder is back.
 *
 * @throws SamescaleError as `followFolder`
 */
export async function* judgeFolder<V>(
  folder: string,
  { judge, workers, ...follow }: JudgeFolderOptions<V>,
): AsyncGenerator<JudgedEvent<V>> {
  const stopped = new AbortController();
  const signal = follow.signal ? AbortSignal.any([follow.signal, stopped.signal]) : stopped.signal;
  const clock = follow.clock ?? (() => performance.now());
  const events = new PassThrough({ objectMode: true, highWaterMark: Number.MAX_SAFE_INTEGER });
  // Of the frames of one look, the follower gives the newest first.
  const arrivals = new Map<ArrivedFrame, number>();
  // Frames whose file was away when their turn came: deleted, renamed, or the folder went and may come back.
  const lost = new Map<string, { readonly frame: ArrivedFrame; readonly error: ErrorReport }>();
  const byArrival = (a: ArrivedFrame, b: ArrivedFrame) => arrivals.get(a)! - arrivals.get(b)!;
  let count = 0;

  const frames = new NewestFirst<ArrivedFrame>({
    workers,
    clock,
    signal,
    byNewness: follow.once ? byArrival : (a, b) => b.completeAtMs - a.completeAtMs || byArrival(a, b),
    async work(frame, unwanted) {
      const sinceMs = frame.completeAtMs;
      const seconds = () => (clock() - sinceMs) / 1000;
      try {
        const verdict = await judge(frame, unwanted);
        if (!unwanted.aborted) events.write({ kind: "judged", frame, verdict, seconds: seconds() });
      } catch (thrown) {
        const error = reportOf(thrown, frame.judgedFile);
        if (error.code === "FILE_MISSING" && existsSync(frame.judgedFile)) add(frame);
        else if (error.code === "FILE_MISSING") lost.set(frame.id, { frame, error });
        else if (!unwanted.aborted) events.write({ kind: "failed", frame, error, seconds: seconds() });
      } finally {
        arrivals.delete(frame);
      }
    },
  });

  function add(frame: ArrivedFrame): void {
    arrivals.set(frame, count++);
    frames.add(frame);
  }
  function addAgain(id: string, files?: ArrivedFrame["files"]): void {
    const found = lost.get(id);
    if (!found || !lost.delete(id)) return;
    const [first] = files ?? [];
    add(first ? { ...found.frame, files: files!, judgedFile: first.path } : found.frame);
  }
  async function follower(): Promise<void> {
    for await (const event of followFolder(folder, { ...follow, clock, signal })) {
      events.write(event);
      if (event.kind === "removed") {
        frames.drop(({ id }) => id === event.id);
        lost.delete(event.id);
      }
      if (event.kind === "frame") add(event);
      if (event.kind === "files") addAgain(event.id, event.files);
      if (event.kind === "folder" && event.state === "back") for (const id of [...lost.keys()]) addAgain(id);
    }
    await frames.idle();
    for (const { frame, error } of lost.values()) {
      events.write({ kind: "failed", frame, error, seconds: (clock() - frame.completeAtMs) / 1000 });
    }
    events.end();
  }

  follower().catch((thrown) => events.destroy(thrown));
  try {
    yield* events as AsyncIterable<JudgedEvent<V>>;
  } finally {
    stopped.abort();
    await frames.idle();
  }
}
