import { availableParallelism } from "node:os";
import { type ErrorReport, SamescaleError } from "@samescale/errors";
import { Piscina } from "piscina";
import type { TaskName, Tasks } from "./tasks.ts";

/** Worker threads that stay warm over many photographs. */
export interface PicturePool {
  readonly threads: number;
  /** Runs one step on one photograph. Rejects with a SamescaleError (ENDING once it is closed); aborting drops the task. */
  run<N extends TaskName>(
    task: N,
    input: Tasks[N]["input"],
    signal?: AbortSignal,
  ): Promise<Tasks[N]["answer"]>;
  close(): Promise<void>;
}

type Outcome<N extends TaskName> =
  | { readonly ok: true; readonly answer: Tasks[N]["answer"] }
  | { readonly ok: false; readonly error: ErrorReport };

/** One per core, at most four, as each holds its own pictures and vision library. */
export const defaultThreads = (): number => Math.min(4, availableParallelism());

/** @param ready threads that are kept although nothing is asked of them, as somebody who waits will ask */
export function createPicturePool(threads = defaultThreads(), { ready = 0 } = {}): PicturePool {
  const pool = new Piscina({
    filename: new URL("./worker.ts", import.meta.url).href,
    minThreads: ready,
    maxThreads: threads,
    idleTimeout: 60_000,
    concurrentTasksPerWorker: 1,
    // Pictures live outside the young generation; a large one only holds on to memory (100 MB with two threads).
    resourceLimits: { maxYoungGenerationSizeMb: 16 },
  });
  let isClosed = false;
  return {
    threads,
    async run<N extends TaskName>(task: N, input: Tasks[N]["input"], signal?: AbortSignal) {
      // The library would begin new threads for it, and those could keep the program running for ever.
      if (isClosed) throw ending();
      let outcome: Outcome<N>;
      try {
        outcome = await pool.run({ task, input }, signal ? { signal } : {});
      } catch (thrown) {
        throw isClosed ? ending() : thrown;
      }
      if (outcome.ok) return outcome.answer;
      throw new SamescaleError(outcome.error.code, outcome.error.message, outcome.error.help);
    },
    async close() {
      isClosed = true;
      await pool.destroy();
    },
  };
}

const ending = () =>
  new SamescaleError(
    "ENDING",
    "The program is ending and begins nothing more",
    "Ask again when it is running.",
  );
