import { randomUUID } from "node:crypto";
import type { Actor } from "@samescale/desk";
import { type ErrorReport, SamescaleError } from "@samescale/errors";
import type { Report } from "../reports.ts";

/** Work that takes longer than a request: what it is, how far, how it ended. */
export interface Job {
  readonly id: string;
  /** For the person: "Taking in a card". */
  readonly what: string;
  readonly state: "running" | "done" | "stopped" | "failed";
  readonly done: number;
  /** null: not known yet. */
  readonly total: number | null;
  /** What it is at now. */
  readonly at: string;
  readonly startedAt: string;
  readonly value: unknown;
  readonly error: ErrorReport | null;
}

export interface JobStep {
  readonly done: number;
  readonly total: number | null;
  readonly at?: string;
}

export interface Jobs {
  /** Begins at once. `run` must end soon after its signal is aborted. @throws SamescaleError TOO_MANY */
  start(
    actor: Actor,
    what: string,
    run: (step: (step: JobStep) => void, signal: AbortSignal) => Promise<unknown>,
  ): Job;
  /** null: there is none, or it is somebody else's. */
  jobOf(actor: Actor, id: string): Job | null;
  jobsOf(actor: Actor): Job[];
  stop(actor: Actor, id: string): boolean;
  readonly running: () => number;
  /** Stops all and waits for them, for a while. */
  close(): Promise<void>;
}

interface Running {
  job: Job;
  readonly owner: string;
  readonly control: AbortController;
  readonly ended: Promise<void>;
}

/** So many that have ended are remembered, the oldest is forgotten first. */
const KEPT = 200;
/** Of one person at once: the machine is there for the others too. */
const MOST_OF_ONE = 8;
/** What has not stopped by then is cut off when the process ends; acts are whole or not at all. */
const STOPPED_WITHIN_MS = 20_000;
/** A page needs no more than this. */
const TOLD_EVERY_MS = 100;

/** The long work of one server. In memory: what it did is in the library, and every long work can be begun again. */
export function openJobs(now: () => Date, tell: (topic: string) => void, report: Report): Jobs {
  const all = new Map<string, Running>();
  const ownerOf = (actor: Actor) => actor.personId ?? actor.name;
  const mine = (actor: Actor, id: string) => {
    const found = all.get(id);
    return found?.owner === ownerOf(actor) ? found : null;
  };

  const runningOf = (owner: string | null) =>
    [...all.values()].filter((one) => one.job.state === "running" && (owner === null || one.owner === owner))
      .length;

  return {
    running: () => runningOf(null),
    start(actor, what, run) {
      if (runningOf(ownerOf(actor)) >= MOST_OF_ONE) {
        throw new SamescaleError(
          "TOO_MANY",
          `${MOST_OF_ONE} long works of yours are running`,
          "Wait until one has ended, or stop one.",
        );
      }
      const id = randomUUID();
      const control = new AbortController();
      const blank = { done: 0, total: null, at: "", value: null, error: null };
      const running: { -readonly [K in keyof Running]: Running[K] } = {
        job: { id, what, state: "running", startedAt: now().toISOString(), ...blank },
        owner: ownerOf(actor),
        control,
        ended: Promise.resolve(),
      };
      let toldMs = 0;
      const step = ({ done, total, at }: JobStep) => {
        running.job = { ...running.job, done, total, at: at ?? running.job.at };
        const ms = performance.now();
        if (ms - toldMs < TOLD_EVERY_MS) return;
        toldMs = ms;
        tell(`job/${id}`);
      };
      running.ended = (async () => {
        try {
          const value = await run(step, control.signal);
          running.job = { ...running.job, state: control.signal.aborted ? "stopped" : "done", value };
        } catch (thrown) {
          const state = control.signal.aborted ? "stopped" : "failed";
          running.job = {
            ...running.job,
            state,
            error: state === "failed" ? report(thrown, what, id) : null,
          };
        }
        tell(`job/${id}`);
      })();
      all.set(id, running);
      for (const [old, { job }] of all) {
        if (all.size <= KEPT) break;
        if (job.state !== "running") all.delete(old);
      }
      return running.job;
    },
    jobOf: (actor, id) => mine(actor, id)?.job ?? null,
    jobsOf: (actor) =>
      [...all.values()].filter(({ owner }) => owner === ownerOf(actor)).map(({ job }) => job),
    stop(actor, id) {
      const found = mine(actor, id);
      found?.control.abort();
      return found !== null;
    },
    async close() {
      for (const { control } of all.values()) control.abort();
      const late = new Promise((resolve) => setTimeout(resolve, STOPPED_WITHIN_MS).unref());
      await Promise.race([Promise.all([...all.values()].map(({ ended }) => ended)), late]);
    },
  };
}
