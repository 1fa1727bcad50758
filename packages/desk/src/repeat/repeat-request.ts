import type { PicturePool } from "@samescale/picture";
import {
  type FrameDone,
  type Practice,
  type RepeatPlan,
  type RepeatRule,
  type RepeatWishes,
  repeatPlan,
} from "@samescale/practice";
import { maySeeRequest } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import type { Outcome } from "../act/outcome.ts";
import type { Desk } from "../desk.ts";
import { savePlan } from "../plan/save-plan.ts";
import { frameDone } from "./frame-done.ts";
import { type FrameThen, judgedFrames, plansOf, type VisitThen, visitsOf } from "./judged-frames.ts";

export interface ToRepeat {
  readonly requestId: string;
  /** Day of the visit that rules; left out: the baseline, for each view the first frame that was kept. */
  readonly date?: string;
  readonly wishes?: RepeatWishes;
  /** Keeps the plan as a new revision of the request's. */
  readonly save?: boolean;
}

/** The next visit's plan and what it was made from. */
export interface Repeat {
  readonly plan: RepeatPlan;
  /** By key of the view. */
  readonly frames: ReadonlyMap<string, FrameThen>;
  /** What a person has to know beside the plan. */
  readonly notes: readonly string[];
  /** Of the plan, where it was kept. */
  readonly revision: number | null;
}

/** Plans the next visit of a request from what was really done at an earlier one. */
export async function repeatRequest(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  { requestId, date, wishes, save }: ToRepeat,
  practice: Practice,
  signal?: AbortSignal,
): Promise<Outcome<Repeat>> {
  const { read, clock } = desk.library;
  const exists = await maySeeRequest(read, actor, requestId, clock().toISOString());
  const plans = exists ? await plansOf(desk, requestId) : [];
  const now = plans.at(-1)?.plan;
  if (!now) return refused("The request has no plan yet: there is nothing to lay its pictures against");
  const visits = await visitsOf(desk, requestId);
  const chosen = date === undefined ? visits : visits.filter((visit) => visit.date === date);
  if (chosen.length === 0) return refused(noVisit(visits, date));

  const notes: string[] = [];
  const found = new Map<string, FrameThen>();
  for (const visit of chosen) {
    const { tolerances } = practice;
    const { frames, judgedNow } = await judgedFrames(desk, actor, pool, visit, plans, tolerances, signal);
    if (judgedNow && frames.length > 0) {
      notes.push(
        `The pictures of ${sayDay(visit)} were never checked: they were read now, and that is not kept.`,
      );
    }
    for (const [key, then] of bestOfViews(frames)) {
      const before = found.get(key);
      if (!before || (isFaulty(before) && !isFaulty(then))) found.set(key, then);
    }
    if (now.views.every(({ view }) => isGood(found.get(view.key)))) break;
  }
  if (found.size === 0) {
    return refused(
      `Of ${date ?? "its visits"} no picture belongs to a view of the plan: there is nothing to repeat`,
    );
  }
  const done: FrameDone[] = [];
  for (const then of found.values()) done.push(await frameDone(desk, pool, then, signal));
  const rule: RepeatRule = date === undefined ? { by: "baseline" } : { by: "visit", date };
  const plan = repeatPlan(now, done, rule, practice, wishes);
  for (const { view, repeats } of plan.views) {
    if (repeats === null) notes.push(`Of ${view.name} no picture was kept: it stays as planned.`);
  }
  if (!save) return { done: true, value: { plan, frames: found, notes, revision: null } };
  const saved = await savePlan(desk, actor, { requestId, format: plan.format, body: plan });
  if (!saved.done) return saved;
  return { done: true, value: { plan, frames: found, notes, revision: saved.value.revision } };
}

/** For each view the last frame that was kept; where every one was to be made again, the last of those. */
function bestOfViews(frames: readonly FrameThen[]): Map<string, FrameThen> {
  const best = new Map<string, FrameThen>();
  for (const then of frames) {
    const before = best.get(then.planned.view.key);
    if (!before || isFaulty(before) || !isFaulty(then)) best.set(then.planned.view.key, then);
  }
  return best;
}

const isFaulty = ({ verdict }: FrameThen): boolean => verdict.verdict === "repeat";
const isGood = (then: FrameThen | undefined): boolean => then !== undefined && !isFaulty(then);

const sayDay = ({ date }: VisitThen): string => date ?? "a visit without a day";
const refused = (reason: string) => ({ done: false, reason }) as const;

function noVisit(visits: readonly VisitThen[], date: string | undefined): string {
  if (visits.length === 0) return "The request has no visit yet: nothing was done that could be repeated";
  return `The request has no visit on ${date}; it has ${visits.map(sayDay).join(", ")}`;
}
