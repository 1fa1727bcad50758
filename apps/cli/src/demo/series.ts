import {
  type Actor,
  type ComparedMember,
  compareSeries,
  type Desk,
  doneOrThrow,
  releaseReport,
  reportSeries,
} from "@samescale/desk";
import type { PicturePool } from "@samescale/picture";
import type { Practice } from "@samescale/practice";
import type { DemoJob } from "./department.ts";
import type { WorkedFrame, WorkedVisit } from "./work-visits.ts";

/** One view of one request over its visits. */
export interface MadeSeries {
  readonly job: DemoJob;
  readonly viewName: string;
  readonly members: readonly ComparedMember[];
  /** Null: no report could be made, and why. */
  readonly reportPath: string | null;
  readonly noReport: string | null;
}

/** Compares every measured view that was made on several days, and lets its report leave as far as consent reaches. */
export async function makeSeries(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  practice: Practice,
  visits: readonly WorkedVisit[],
  releasedFolder: string,
  signal: AbortSignal,
): Promise<readonly MadeSeries[]> {
  const made: MadeSeries[] = [];
  for (const [job, ofJob] of Map.groupBy(visits, (visit) => visit.job)) {
    if (job.plan.purpose !== "series") continue;
    for (const { view, objectDistanceMm } of job.plan.views) {
      const frames = ofJob.flatMap((visit) => lastOfView(visit, view.key));
      if (frames.length < 2 || frames.every((frame) => frame.measured === null)) continue;
      const members = await compareSeries(
        desk,
        actor,
        pool,
        {
          requestId: job.requestId,
          objectDistanceMm,
          members: frames.map(({ checked, date, measured }) => ({
            frame: checked,
            date,
            scale: checked.scale,
            readingSha256: checked.readingSha256,
            measured,
          })),
        },
        signal,
      );
      const pdf = await reportSeries(
        desk,
        pool,
        {
          department: practice.department,
          title: job.title,
          viewName: view.name,
          requestCode: job.code,
          madeAt: desk.library.clock(),
          mirrored: view.mirrored,
          members,
        },
        signal,
      );
      const viewName = view.name;
      if (pdf === null) {
        const noReport = "the baseline has no scale or nothing was outlined in it";
        made.push({ job, viewName, members, reportPath: null, noReport });
        continue;
      }
      const release = {
        requestId: job.requestId,
        scope: "requester",
        to: "the requester",
        bytes: pdf,
        fileName: `${job.code}-${view.key}.pdf`,
        originals: members.map((member) => member.frame.sha256),
      } as const;
      const { path } = doneOrThrow(await releaseReport(desk, actor, release, releasedFolder));
      made.push({ job, viewName, members, reportPath: path, noReport: null });
    }
  }
  return made;
}

/** A view made again on the same day counts by its last frame. */
function lastOfView(visit: WorkedVisit, viewKey: string): readonly WorkedFrame[] {
  const last = visit.frames.findLast((frame) => frame.checked.planned?.view.key === viewKey);
  return last ? [last] : [];
}
