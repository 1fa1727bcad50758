import {
  type Actor,
  type BedsideOnRecord,
  type LiveBedside,
  type ScreenGhost,
  screenGhosts,
  type WatchPlan,
  type WordOnRecord,
  watchLive,
  watchPlanOf,
  wordsAtBedside,
} from "@samescale/desk";
import { type ErrorReport, reportOf } from "@samescale/errors";
import { warmUp } from "@samescale/picture";
import type { AreaDeps } from "../deps.ts";

/** One request's session while this server runs. */
export interface Running {
  readonly requestId: string;
  readonly folder: string;
  /** Null while it is made ready: baselines are read, the threads warmed. */
  readonly plan: WatchPlan | null;
  readonly live: LiveBedside | null;
  /** Why it could not be made ready. */
  readonly problem: ErrorReport | null;
  readonly ghosts: ReadonlyMap<string, ScreenGhost>;
  /** Small pictures of the newest frames, as they were shown. */
  readonly pictures: Map<string, Uint8Array>;
}

export interface BedsideSessions {
  of(requestId: string): Running | null;
  /** Begins to watch, or goes on with what is on record. Does nothing where it runs in this folder already. */
  open(actor: Actor, wanted: Pick<BedsideOnRecord, "requestId" | "code" | "folder">): Promise<void>;
  end(requestId: string): Promise<void>;
  close(): Promise<void>;
}

/** Threads that idle for a minute are given up; the frame after a long talk is judged as fast as the others. */
const KEEP_WARM_MS = 45_000;

type SessionDeps = Pick<AreaDeps, "desk" | "pool" | "practice" | "practiceFolder" | "tell">;

/** The sessions of one server. What began is in the custody log, the frames lie in their folder: nothing else is kept. */
export function bedsideSessions({
  desk,
  pool,
  practice,
  practiceFolder,
  tell,
}: SessionDeps): BedsideSessions {
  const all = new Map<string, { running: Running; readonly stop: AbortController }>();
  const changed = () => tell("bedside");
  const warming = setInterval(() => all.size > 0 && void warmUp(pool).catch(() => {}), KEEP_WARM_MS);
  warming.unref();

  async function makeReady(actor: Actor, code: string, kept: { running: Running; stop: AbortController }) {
    const { signal } = kept.stop;
    const { requestId, folder } = kept.running;
    const set = (to: Partial<Running>) => {
      kept.running = { ...kept.running, ...to };
      changed();
    };
    const rules = await practice();
    const [plan, words] = await Promise.all([
      watchPlanOf(desk, actor, pool, code, rules, await practiceFolder()),
      wordsAtBedside(desk, requestId),
      warmUp(pool),
    ]);
    if (signal.aborted) return;
    set({ plan, live: watchLive(folder, pool, plan, words, changed) });
    if (plan.baselines.size === 0) return;
    await warmUp(pool, { compares: true });
    // What cannot be drawn is not offered: the baseline itself is there beside the frame.
    const ghosts = await screenGhosts(desk, actor, pool, requestId, rules, signal).catch(() => null);
    if (ghosts !== null && !signal.aborted) set({ ghosts });
  }

  async function end(requestId: string): Promise<void> {
    const kept = all.get(requestId);
    if (!kept) return;
    all.delete(requestId);
    kept.stop.abort();
    await kept.running.live?.close();
    changed();
  }

  return {
    of: (requestId) => all.get(requestId)?.running ?? null,
    async open(actor, { requestId, code, folder }) {
      const known = all.get(requestId)?.running;
      if (known?.folder === folder && !known.problem && !known.live?.problem) return;
      const before = all.get(requestId);
      const running: Running = {
        requestId,
        folder,
        plan: null,
        live: null,
        problem: null,
        ghosts: new Map(),
        pictures: new Map(),
      };
      const kept = { running, stop: new AbortController() };
      // Put in at once: of two devices that go on at the same moment the second finds it running.
      all.set(requestId, kept);
      before?.stop.abort();
      await before?.running.live?.close();
      makeReady(actor, code, kept).catch((thrown) => {
        kept.running = { ...kept.running, problem: reportOf(thrown, code) };
        changed();
      });
      changed();
    },
    end,
    async close() {
      clearInterval(warming);
      await Promise.all([...all.keys()].map(end));
    },
  };
}

/** A person's word as it stands from now on. */
export const wordOf = (actor: Actor, said: WordOnRecord["said"], at: string): WordOnRecord => ({
  said,
  by: actor.name,
  at,
});
