import { Worker } from "node:worker_threads";
import { type ErrorReport, SamescaleError } from "@samescale/errors";
import type { HeldCamera } from "./held-camera.ts";

/** Makes pictures of the virtual camera beside the program's own thread. */
export interface Darkroom {
  /**
   * @param kind each kind has its own thread, so that a sharp picture never holds up a quick one
   * @returns a JPEG; null: not wanted any more before it was begun
   */
  develop(
    held: HeldCamera,
    widthPx: number,
    kind: "quick" | "sharp",
    signal: AbortSignal,
  ): Promise<Uint8Array | null>;
  close(): Promise<void>;
}

export interface DarkroomTask {
  readonly id: number;
  readonly held: HeldCamera;
  readonly widthPx: number;
}
export type DarkroomAnswer = { readonly id: number } & (
  | { readonly jpeg: Uint8Array }
  | { readonly error: ErrorReport }
);

/** Nobody rehearses: the thread and its memory are given back. */
const IDLE_MS = 120_000;

interface Waiting {
  readonly task: DarkroomTask;
  readonly signal: AbortSignal;
  readonly settle: (answer: DarkroomAnswer | null) => void;
}

export function openDarkroom(): Darkroom {
  const threads = { quick: new DarkroomThread(), sharp: new DarkroomThread() };
  let next = 0;
  return {
    async develop(held, widthPx, kind, signal) {
      const answer = await threads[kind].run({ id: next++, held, widthPx }, signal);
      if (answer === null) return null;
      if ("jpeg" in answer) return answer.jpeg;
      throw new SamescaleError(answer.error.code, answer.error.message, answer.error.help);
    },
    async close() {
      await Promise.all([threads.quick.close(), threads.sharp.close()]);
    },
  };
}

/** One thread, one picture at a time; what is not wanted any more when its turn comes is left out. */
class DarkroomThread {
  #worker: Worker | null = null;
  #running: Waiting | null = null;
  #waiting: Waiting[] = [];
  #idle: NodeJS.Timeout | null = null;

  run(task: DarkroomTask, signal: AbortSignal): Promise<DarkroomAnswer | null> {
    return new Promise((settle) => {
      this.#waiting.push({ task, signal, settle });
      this.#next();
    });
  }

  async close(): Promise<void> {
    if (this.#idle) clearTimeout(this.#idle);
    const worker = this.#worker;
    this.#worker = null;
    for (const { settle } of [this.#running, ...this.#waiting].filter((one) => one !== null)) settle(null);
    this.#running = null;
    this.#waiting = [];
    await worker?.terminate();
  }

  #next(): void {
    if (this.#running) return;
    for (const { settle } of this.#waiting.filter(({ signal }) => signal.aborted)) settle(null);
    this.#waiting = this.#waiting.filter(({ signal }) => !signal.aborted);
    const task = this.#waiting.shift();
    if (this.#idle) clearTimeout(this.#idle);
    if (!task) {
      this.#idle = setTimeout(() => void this.close(), IDLE_MS).unref();
      return;
    }
    this.#running = task;
    this.#begun().postMessage(task.task);
  }

  #begun(): Worker {
    if (this.#worker) return this.#worker;
    const worker = new Worker(new URL("./darkroom-worker.ts", import.meta.url));
    worker.unref();
    worker.on("message", (answer: DarkroomAnswer) => {
      const done = this.#running;
      this.#running = null;
      done?.settle(answer);
      this.#next();
    });
    worker.on("error", () => void this.close());
    this.#worker = worker;
    return worker;
  }
}
