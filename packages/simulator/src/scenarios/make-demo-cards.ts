import { mkdir } from "node:fs/promises";
import { availableParallelism } from "node:os";
import { join } from "node:path";
import { Worker } from "node:worker_threads";
import { asSamescaleError, type ErrorReport, SamescaleError } from "@samescale/errors";
import type { Truth } from "../truth/truth.ts";
import type { CardPlan, FramePlan } from "./card-plan.ts";
import { type Clicks, clicksOf } from "./clicks.ts";
import { demoCards } from "./demo-cards.ts";
import { demoSession } from "./demo-session.ts";
import { type Department, demoDepartment } from "./department.ts";
import type { DemoOptions } from "./filled-card.ts";

export interface DemoManifest {
  readonly department: Department;
  readonly cards: readonly MadeCard[];
  /** The frames that arrive one by one at the bedside, in their order; null when it was not asked for. */
  readonly session: MadeCard | null;
}

export interface MadeCard extends Omit<CardPlan, "frames"> {
  /** The card's folder on disk. */
  readonly path: string;
  readonly frames: readonly MadeFrame[];
}

export interface MadeFrame extends Omit<FramePlan, "scene"> {
  readonly path: string;
  readonly truth: Truth;
  /** For the region that is measured; null when nothing is, or when it does not show. */
  readonly clicks: Clicks | null;
}

export interface MakeOptions extends DemoOptions {
  readonly onProgress?: (done: number, total: number, file: string) => void;
  readonly signal?: AbortSignal;
  /** Only the cards of these names. */
  readonly only?: readonly string[];
  /** Threads that make pictures; as many as there are cores, four at most. */
  readonly threads?: number;
}

/** What a thread is given, and what it gives back. */
export interface Task {
  readonly index: number;
  readonly path: string;
  readonly frame: FramePlan;
}
export type Answer =
  | { readonly index: number; readonly truth: Truth }
  | { readonly index: number; readonly error: ErrorReport };

/** Makes the demonstration's cards under `folder`. Each file is whole or absent, also when stopped in the middle. */
export async function makeDemoCards(folder: string, options: MakeOptions = {}): Promise<DemoManifest> {
  const plans = [...demoCards(options), demoSession(options)].filter(
    ({ key }) => options.only?.includes(key) ?? true,
  );
  const tasks: Task[] = [];
  for (const plan of plans) {
    const at = join(folder, plan.key, plan.folder);
    await mkdir(at, { recursive: true });
    for (const frame of plan.frames)
      tasks.push({ index: tasks.length, path: join(at, frame.fileName), frame });
  }
  const truths = await renderAll(tasks, options);
  let index = 0;
  const made = plans.map((plan) => ({
    ...plan,
    path: join(folder, plan.key),
    frames: plan.frames.map(({ scene: _, ...frame }) => {
      const truth = truths[index]!;
      const { path } = tasks[index++]!;
      return { ...frame, path, truth, clicks: clicksIn(truth, frame.outlined) };
    }),
  }));
  return {
    department: demoDepartment(),
    cards: made.filter(({ key }) => key !== SESSION),
    session: made.find(({ key }) => key === SESSION) ?? null,
  };
}

const SESSION = "SESSION";

function clicksIn(truth: Truth, outlined: string | null): Clicks | null {
  if (outlined === null) return null;
  const regions = truth.things.flatMap((thing) => thing.regions);
  const shown = regions.find(
    ({ name, outlinePx }) =>
      name === outlined &&
      outlinePx.every(([x, y]) => x > 0 && y > 0 && x < truth.widthPx && y < truth.heightPx),
  );
  return shown ? clicksOf(shown.outlinePx) : null;
}

async function renderAll(tasks: readonly Task[], options: MakeOptions): Promise<Truth[]> {
  const { onProgress, signal } = options;
  const stopped = (): SamescaleError =>
    new SamescaleError(
      "STOPPED",
      "Making the demonstration's cards was stopped",
      "Run it again to make them all.",
    );
  if (signal?.aborted) throw stopped();
  const truths: Truth[] = [];
  const threads = Math.max(1, Math.min(options.threads ?? Math.min(4, availableParallelism()), tasks.length));
  let next = 0;
  let done = 0;
  const workers = Array.from(
    { length: threads },
    () => new Worker(new URL("./render-worker.ts", import.meta.url)),
  );
  try {
    await new Promise<void>((resolve, reject) => {
      signal?.addEventListener("abort", () => reject(stopped()), { once: true });
      for (const worker of workers) {
        const feed = (): void => {
          const task = tasks[next++];
          if (task) worker.postMessage(task);
        };
        worker.on("message", (answer: Answer) => {
          if ("error" in answer) {
            const { code, message, help } = answer.error;
            reject(new SamescaleError(code, message, help));
            return;
          }
          truths[answer.index] = answer.truth;
          done++; // not within the call below, which is left out whole when nobody listens
          onProgress?.(done, tasks.length, tasks[answer.index]!.path);
          if (done === tasks.length) resolve();
          else feed();
        });
        worker.on("error", (thrown) => reject(asSamescaleError(thrown, "a demonstration picture")));
        feed();
      }
    });
  } finally {
    await Promise.all(workers.map((worker) => worker.terminate()));
  }
  return truths;
}
