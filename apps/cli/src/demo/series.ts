import { join } from "node:path";
import {
  type Actor,
  type CheckedFrame,
  type ComparedMember,
  compareSeries,
  type Desk,
  doneOrThrow,
  type MeasuredFrame,
  measureRegions,
  releaseOut,
  reportForm,
  reportSeries,
} from "@samescale/desk";
import type { ColourAnswer, OwnRepeats, PicturePool } from "@samescale/picture";
import type { Practice, View } from "@samescale/practice";
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
  ownRepeats: OwnRepeats | null,
  releasedFolder: string,
  signal: AbortSignal,
): Promise<readonly MadeSeries[]> {
  const made: MadeSeries[] = [];
  for (const [job, ofJob] of Map.groupBy(visits, (visit) => visit.job)) {
    if (job.plan.purpose !== "series") continue;
    const charts = await chartsOf(desk, pool, ofJob, signal);
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
          ownRepeats,
          members: await Promise.all(
            frames.map(async ({ checked, date, measured }) => ({
              frame: checked,
              date,
              scale: checked.scale,
              readingSha256: checked.readingSha256,
              measured: measured && (await measuredByOwn(desk, actor, pool, checked, measured, ownRepeats)),
            })),
          ),
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
          gaps: gapsOf(ofJob, view),
          charts,
          ownRepeats,
        },
        signal,
      );
      const viewName = view.name;
      if (pdf === null) {
        const noReport = "the baseline has no scale or nothing was outlined in it";
        made.push({ job, viewName, members, reportPath: null, noReport });
        continue;
      }
      const fileName = `${job.code}-${view.key}.pdf`;
      const originals = members.map((member) => member.frame.sha256);
      const wanted = {
        requestId: job.requestId,
        frames: members.map((member) => member.frame.frameId),
        scope: "requester",
        to: "the requester",
        purpose: `the course of ${job.title}`,
        folder: "reports",
      } as const;
      const form = reportForm({ bytes: pdf, fileName, originals });
      const { folder } = doneOrThrow(
        await releaseOut(desk, actor, wanted, { pool, form, releasedFolder, signal }),
      );
      const path = join(releasedFolder, folder, fileName);
      made.push({ job, viewName, members, reportPath: path, noReport: null });
    }
  }
  return made;
}

/** The same outline, its budget by what the department knows of its own edges by now. */
async function measuredByOwn(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  { scale, readingSha256, ...frame }: CheckedFrame,
  { regions, outlineSha256 }: MeasuredFrame,
  ownRepeats: OwnRepeats | null,
): Promise<MeasuredFrame> {
  const work = { frame, regions, outlineSha256, scale, readingSha256, ownRepeats };
  return doneOrThrow(await measureRegions(desk, actor, pool, work));
}

/** The colour chart lies in the location picture of each visit, in the same light as the close-up. */
async function chartsOf(
  desk: Desk,
  pool: PicturePool,
  visits: readonly WorkedVisit[],
  signal: AbortSignal,
): Promise<Map<string, { fileName: string; answer: ColourAnswer }>> {
  const charts = new Map<string, { fileName: string; answer: ColourAnswer }>();
  for (const visit of visits) {
    const [frame] = lastOfView(visit, "location");
    if (!frame) continue;
    const { sha256, name: fileName } = frame.checked;
    const file = await desk.library.originals.localFile(sha256);
    const answer = await pool.run("colour", { file, chartEdition: "after-2014" }, signal);
    charts.set(visit.date, { fileName, answer });
  }
  return charts;
}

/** Visits that this view is missing from. */
function gapsOf(visits: readonly WorkedVisit[], view: View): { date: string; why: string }[] {
  return visits
    .filter((visit) => lastOfView(visit, view.key).length === 0)
    .map(({ date, frames }) => ({
      date,
      why: frames.length === 0 ? "no picture of this visit" : "this view was not made",
    }));
}

/** A view made again on the same day counts by its last frame. */
function lastOfView(visit: WorkedVisit, viewKey: string): readonly WorkedFrame[] {
  const last = visit.frames.findLast((frame) => frame.checked.planned?.view.key === viewKey);
  return last ? [last] : [];
}
