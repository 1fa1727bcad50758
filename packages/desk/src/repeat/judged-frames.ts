import type { PicturePool, ScaleAnswer } from "@samescale/picture";
import type { Plan, PlannedView, Tolerances, Verdict } from "@samescale/practice";
import type { Actor } from "../act/actor.ts";
import { judgeVisit } from "../check/check-visit.ts";
import type { Desk } from "../desk.ts";
import { framesOfVisit, type LookedAtFrame } from "../look/frames-of-visit.ts";

/** A visit of the request that counts. */
export interface VisitThen {
  readonly id: string;
  /** Null: no clock could be believed. */
  readonly date: string | null;
}

/** A frame as it was judged against the plan of then. */
export interface FrameThen {
  readonly frame: LookedAtFrame;
  readonly date: string | null;
  readonly planned: PlannedView;
  readonly plan: Plan;
  readonly verdict: Pick<Verdict, "verdict" | "say">;
  readonly scale: ScaleAnswer;
}

/** Visits by day, those without one last. */
export async function visitsOf(desk: Desk, requestId: string): Promise<readonly VisitThen[]> {
  const visits = await desk.library.read
    .selectFrom("visit")
    .select(["id", "date"])
    .where("request_id", "=", requestId)
    .where("void_because", "is", null)
    .orderBy("id")
    .execute();
  return visits.toSorted((a, b) => (a.date ?? "9999").localeCompare(b.date ?? "9999"));
}

/** A plan and its place in the custody log, which tells what came first where clocks do not. */
export interface PlanThen {
  readonly plan: Plan;
  readonly sequence: number;
}

/** Every saved plan of the request in a shape that this version reads, oldest first. */
export async function plansOf(desk: Desk, requestId: string): Promise<readonly PlanThen[]> {
  const rows = await desk.library.read
    .selectFrom("plan")
    .select(["id", "body"])
    .where("request_id", "=", requestId)
    .where("format", "=", "views/2")
    .orderBy("revision")
    .execute();
  const plans: PlanThen[] = [];
  for (const { id, body } of rows) {
    plans.push({ plan: JSON.parse(body) as Plan, sequence: await sequenceOf(desk, `plan/${id}`) });
  }
  return plans;
}

async function sequenceOf(desk: Desk, subject: string): Promise<number> {
  const row = await desk.library.read
    .selectFrom("act")
    .select("sequence")
    .where("subject", "=", subject)
    .orderBy("sequence")
    .executeTakeFirst();
  return row?.sequence ?? 0;
}

/**
 * The frames of a visit in the order of time, each with the newest verdict and reading that are kept of it. A visit that
 * nobody checked is read and judged now against the newest plan, and nothing of that is kept.
 */
export async function judgedFrames(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  visit: VisitThen,
  plans: readonly PlanThen[],
  tolerances: Tolerances,
  signal?: AbortSignal,
): Promise<{ readonly frames: readonly FrameThen[]; readonly judgedNow: boolean }> {
  const frames = await framesOfVisit(desk, actor, visit.id);
  const kept: FrameThen[] = [];
  for (const frame of frames) {
    const then = await keptOf(desk, frame, visit.date, plans);
    if (then !== null) kept.push(then);
  }
  if (kept.length > 0 || frames.length === 0) return { frames: kept, judgedNow: false };
  const { plan } = plans.at(-1)!;
  const toJudge = { visitId: visit.id, plan, tolerances };
  const { frames: judged } = await judgeVisit(desk, actor, pool, toJudge, signal);
  const now = judged.flatMap(({ planned, verdict, scale, ...frame }): FrameThen[] =>
    planned === null || verdict === null ? [] : [{ frame, date: visit.date, planned, plan, verdict, scale }],
  );
  return { frames: now, judgedNow: true };
}

async function keptOf(
  desk: Desk,
  frame: LookedAtFrame,
  date: string | null,
  plans: readonly PlanThen[],
): Promise<FrameThen | null> {
  const newest = async (table: "verdict" | "reading") =>
    await desk.library.read
      .selectFrom(table)
      .select(["id", "body"])
      .where("frame_id", "=", frame.frameId)
      .orderBy("made_at", "desc")
      .orderBy("id", "desc")
      .executeTakeFirst();
  const [verdict, reading] = [await newest("verdict"), await newest("reading")];
  if (!verdict || !reading) return null;
  const judged = JSON.parse(verdict.body) as Verdict & { readonly view: string };
  // What was planned when it was judged: later plans repeat what it reached.
  const judgedAt = await sequenceOf(desk, `verdict/${verdict.id}`);
  const before = plans.filter(({ sequence }) => sequence < judgedAt);
  const { plan } = before.at(-1) ?? plans[0]!;
  const planned = plan.views.find(({ view }) => view.key === judged.view);
  if (!planned) return null;
  const scale = { ...(JSON.parse(reading.body) as ScaleAnswer), file: frame.name };
  return { frame, date, planned, plan, verdict: judged, scale };
}
