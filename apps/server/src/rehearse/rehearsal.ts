import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { judgePicture, statedPlan, type WatchPlan } from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import type { Verdict } from "@samescale/practice";
import {
  HELD_WELL,
  type HeldCamera,
  openDarkroom,
  REHEARSAL_RATIO,
  type RehearsalTask,
} from "@samescale/simulator";
import type { Deps } from "../deps.ts";

/** While a slider moves: enough to see what the hand does. */
const QUICK_PX = 480;
/** Judged: the ticks of the scale have to be read in it. */
const SHARP_PX = 1200;
const SENSOR = { widthMm: 36, heightMm: 24 };

export interface JudgedShot {
  readonly jpeg: Uint8Array;
  readonly verdict: Verdict;
}

export interface Rehearsal {
  quick(held: HeldCamera, signal: AbortSignal): Promise<Uint8Array>;
  /** Judged as at the bedside, by the department's own tolerances. */
  judged(held: HeldCamera, task: RehearsalTask | null, signal: AbortSignal): Promise<JudgedShot>;
  /** The picture that a task wants made again. */
  baseline(task: RehearsalTask): Promise<Uint8Array>;
  close(): Promise<void>;
}

/** The virtual camera for training. Its pictures lie in a folder of their own for as long as they are judged. */
export function openRehearsal({
  pool,
  practice,
  practiceFolder,
}: Pick<Deps, "pool" | "practice" | "practiceFolder">): Rehearsal {
  const darkroom = openDarkroom();
  let place: Promise<string> | null = null;
  let count = 0;
  const baselines = new Map<string, Promise<{ file: string; jpeg: Uint8Array }>>();

  async function placed(jpeg: Uint8Array): Promise<string> {
    place ??= mkdtemp(join(tmpdir(), "samescale-rehearse-"));
    const file = join(await place, `${count++}.jpg`);
    await writeFile(file, jpeg);
    return file;
  }
  async function developed(held: HeldCamera, px: number, kind: "quick" | "sharp", signal: AbortSignal) {
    const jpeg = await darkroom.develop(held, px, kind, signal);
    if (jpeg !== null) return jpeg;
    throw new SamescaleError(
      "REHEARSAL_STALE",
      "This picture was not wanted any more before it was begun",
      "Nothing has to be done: a newer one is on its way.",
    );
  }
  function baselineOf({ key, baseline }: RehearsalTask) {
    const known = baselines.get(key);
    if (known) return known;
    const made = (async () => {
      const jpeg = await developed(baseline ?? HELD_WELL, SHARP_PX, "sharp", new AbortController().signal);
      return { file: await placed(jpeg), jpeg };
    })();
    baselines.set(key, made);
    made.catch(() => baselines.delete(key));
    return made;
  }
  async function planFor(
    held: HeldCamera,
    task: RehearsalTask | null,
    signal: AbortSignal,
  ): Promise<WatchPlan> {
    const stated = { magnification: REHEARSAL_RATIO, focalMm: held.focalMm, sensor: SENSOR };
    const plan = await statedPlan(stated, await practice(), await practiceFolder());
    if (!task?.baseline) return plan;
    const { file } = await baselineOf(task);
    const { scale, look } = await pool.run("bedside", { file, ...plan.sensor }, signal);
    const [view] = plan.views;
    const frame = { file, sha256: "", date: null, scale, look };
    return { ...plan, series: true, baselines: new Map([[view!.view.key, frame]]) };
  }

  return {
    quick: (held, signal) => developed(held, QUICK_PX, "quick", signal),
    async judged(held, task, signal) {
      const [jpeg, plan] = await Promise.all([
        developed(held, SHARP_PX, "sharp", signal),
        planFor(held, task, signal),
      ]);
      const file = await placed(jpeg);
      try {
        const { verdict } = await judgePicture(pool, file, plan.views[0]!, plan, signal);
        return { jpeg, verdict };
      } finally {
        await rm(file, { force: true });
      }
    },
    baseline: async (task) => (await baselineOf(task)).jpeg,
    async close() {
      await darkroom.close();
      if (place) await rm(await place, { recursive: true, force: true });
    },
  };
}
