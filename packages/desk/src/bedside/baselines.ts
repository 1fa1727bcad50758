import type { LookAnswer, PicturePool, ScaleAnswer } from "@samescale/picture";
import type { Plan } from "@samescale/practice";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { lookedAt } from "../look/frames-of-visit.ts";

/** The picture that a view is compared with. */
export interface BaselineFrame {
  readonly file: string;
  readonly sha256: string;
  readonly date: string | null;
  readonly scale: ScaleAnswer;
  /** Null: it could not be looked at again. */
  readonly look: LookAnswer | null;
}

/**
 * For each view of a series' plan the last frame of the first visit that was made for it and not refused, by the
 * verdicts on record. Other plans have no baseline.
 */
export async function baselinesOf(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  requestId: string,
  plan: Plan,
): Promise<ReadonlyMap<string, BaselineFrame>> {
  const found = new Map<string, BaselineFrame>();
  if (plan.purpose !== "series") return found;
  const rows = await desk.library.read
    .selectFrom("verdict")
    .innerJoin("frame", "frame.id", "verdict.frame_id")
    .innerJoin("visit", "visit.id", "frame.visit_id")
    .select(["verdict.frame_id", "verdict.body", "visit.date", "frame.position"])
    .where("frame.request_id", "=", requestId)
    .where("visit.void_because", "is", null)
    .orderBy("visit.date", (order) => order.asc().nullsFirst())
    .orderBy("frame.taken_at", (order) => order.asc().nullsFirst())
    .orderBy("frame.position")
    .orderBy("verdict.made_at")
    .execute();
  const newest = new Map(rows.map((row) => [row.frame_id, row]));
  for (const { view } of plan.views) {
    const kept = [...newest.values()].filter((row) => {
      const verdict = JSON.parse(row.body) as { view?: string; verdict?: string };
      return verdict.view === view.key && verdict.verdict !== "repeat";
    });
    const first = kept[0]?.date;
    const row = kept.findLast(({ date }) => date === first);
    const frame = row?.frame_id ? await lookedAt(desk, actor, row.frame_id) : null;
    if (!row || !frame) continue;
    // A baseline that is lost or damaged leaves the frames to be judged without it; `verify` names it.
    const file = await desk.library.originals.localFile(frame.sha256).catch(() => null);
    if (file === null) continue;
    const seen = await pool.run("bedside", { file, usualSensorMm: plan.body.sensor }).catch(() => null);
    if (seen)
      found.set(view.key, { file, sha256: frame.sha256, date: row.date, scale: seen.scale, look: seen.look });
  }
  return found;
}
