import {
  type Actor,
  type CheckedFrame,
  checkVisit,
  type Desk,
  type MeasuredFrame,
  measureFrame,
} from "@samescale/desk";
import type { PicturePool } from "@samescale/picture";
import type { Practice } from "@samescale/practice";
import type { DemoManifest, MadeFrame } from "@samescale/simulator";
import type { DemoJob } from "./department.ts";
import { everyCard } from "./take-cards.ts";

/** One frame after the day's work, beside what is true of it. */
export interface WorkedFrame {
  readonly job: DemoJob;
  readonly date: string;
  readonly checked: CheckedFrame;
  readonly made: MadeFrame;
  readonly measured: MeasuredFrame | null;
  readonly notMeasured: string | null;
}

export interface WorkedVisit {
  readonly job: DemoJob;
  readonly date: string;
  readonly frames: readonly WorkedFrame[];
  readonly missing: readonly string[];
}

/** Reads, checks and measures every visit. The clicks on record stand for the photographer's hand. */
export async function workVisits(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  manifest: DemoManifest,
  jobs: readonly DemoJob[],
  practice: Practice,
  onFrame: (name: string) => void,
  signal: AbortSignal,
): Promise<readonly WorkedVisit[]> {
  const madeByName = new Map(
    everyCard(manifest)
      .flatMap((c) => c.frames)
      .map((f) => [f.fileName, f]),
  );
  const worked: WorkedVisit[] = [];
  for (const job of jobs) {
    for (const [date, visitId] of job.visits) {
      const wanted = { visitId, plan: job.plan, tolerances: practice.tolerances };
      const { frames, missing } = await checkVisit(desk, actor, pool, wanted, signal);
      const done: WorkedFrame[] = [];
      for (const checked of frames) {
        const made = madeByName.get(checked.name);
        if (!made) continue;
        const clicks = made.clicks;
        const outcome =
          clicks === null
            ? null
            : await measureFrame(
                desk,
                actor,
                pool,
                { frame: checked, clicks, ...readingOfFrame(checked) },
                signal,
              );
        done.push({
          job,
          date,
          checked,
          made,
          measured: outcome?.done ? outcome.value : null,
          notMeasured: outcome && !outcome.done ? outcome.reason : null,
        });
        onFrame(checked.name);
      }
      worked.push({ job, date, frames: done, missing: missing.map((planned) => planned.view.name) });
    }
  }
  return worked;
}

const readingOfFrame = ({ scale, readingSha256 }: CheckedFrame) => ({ scale, readingSha256 });
