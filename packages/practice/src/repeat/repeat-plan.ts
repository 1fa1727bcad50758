import type { Body } from "../kit/item.ts";
import { whyUnusable } from "../kit/state.ts";
import type { PlannedView } from "../plan/plan-view.ts";
import { type Plan, type PlanWishes, planViews } from "../plan/plan-views.ts";
import type { RefusedView } from "../plan/refusal.ts";
import type { Practice } from "../read/practice.ts";
import type { View } from "../views/view.ts";
import type { FrameDone } from "./frame-done.ts";
import { isSameSensor } from "./reached.ts";
import { type Keep, type RepeatedView, repeatView } from "./repeat-view.ts";

/** A plan whose numbers are those of pictures that were made: the shape `views/2` with where each comes from. */
export interface RepeatPlan extends Plan {
  readonly views: readonly RepeatedView[];
  readonly repeats: {
    readonly rule: RepeatRule;
    /** Which visit rules, and why. */
    readonly says: string;
    /** Which body, and why. */
    readonly bodySays: string;
  };
}

/** The baseline: for each view the first frame that was kept. Or one visit. */
export type RepeatRule = { readonly by: "baseline" } | { readonly by: "visit"; readonly date: string };

export interface RepeatWishes extends Omit<PlanWishes, "side"> {
  readonly keep?: Keep;
}

/**
 * The plan for the next visit from what was done. Views of which nothing was kept are planned as before.
 * @param now the plan as it stands
 * @param done one frame at most for each view
 * @throws SamescaleError PLAN_WISHES as `planViews`
 */
export function repeatPlan(
  now: Plan,
  done: readonly FrameDone[],
  rule: RepeatRule,
  practice: Practice,
  wishes: RepeatWishes = {},
): RepeatPlan {
  const { keep = "field", lens, ...others } = wishes;
  const chosen = bodyFor(now, done, practice, wishes.body);
  const set = { ...now.viewSet, purpose: now.purpose };
  const place = wishes.place ?? placeOf(now, practice);
  const planWith = (views: readonly View[], lensId: string | null): Plan =>
    planViews({ ...set, views }, practice, {
      ...others,
      ...(place !== undefined && { place }),
      ...(chosen.id !== undefined && { body: chosen.id }),
      ...(lensId !== null && { lens: lensId }),
    });
  // A lens or body that is not known is said before any view is looked at.
  const { place: placed, body } = planWith([], lens ?? null);
  const setting = {
    tolerances: practice.tolerances,
    keep,
    sensorLongMm: Math.max(body.sensor.widthMm, body.sensor.heightMm),
    lenses: practice.kit.lenses,
    wanted: lens,
    plan(view: View, lensId: string | null): PlannedView | RefusedView {
      const { views, refused } = planWith([view], lensId);
      return views[0] ?? refused[0]!;
    },
  };
  const answers = viewsOf(now).map((view): RepeatedView | RefusedView => {
    const frame = done.find(({ planned }) => planned.view.key === view.key);
    if (frame) return repeatView(frame, pairOf(frame, done), setting);
    const planned = setting.plan(view, lens ?? null);
    return "lens" in planned ? { ...planned, repeats: null } : planned;
  });
  const views = answers.filter((answer) => "lens" in answer);
  return {
    ...now,
    practiceVersion: practice.version,
    place: placed,
    body,
    views,
    refused: answers.filter((answer) => "reason" in answer),
    minutes: practice.settingUpMinutes + views.reduce((sum, { minutes }) => sum + minutes, 0),
    repeats: { rule, says: sayRule(rule), bodySays: chosen.says(body.name) },
  };
}

/** In the order of the plan; what was refused then may be possible now. */
const viewsOf = ({ views, refused }: Plan): readonly View[] => [...views, ...refused].map(({ view }) => view);

/** The place of the plan, where the practice still has it. */
const placeOf = (now: Plan, { places }: Practice): string | undefined =>
  places.find(({ key }) => key === now.place.key)?.key;

/** The view made once more with or without its scale. */
function pairOf(frame: FrameDone, done: readonly FrameDone[]): FrameDone | null {
  const { view } = frame.planned;
  const other = done.find(
    ({ planned }) => planned.view.key === view.pairOf || planned.view.pairOf === view.key,
  );
  return other ?? null;
}

/** The body of then where it can be used, else whatever the practice would take. */
function bodyFor(
  now: Plan,
  done: readonly FrameDone[],
  { kit }: Practice,
  wanted: string | undefined,
): { readonly id: string | undefined; readonly says: (name: string) => string } {
  if (wanted !== undefined) return { id: wanted, says: (name) => `${name}, as asked.` };
  const first = done[0];
  if (first === undefined) {
    const usable = kit.bodies.some((body) => body.id === now.body.id && whyUnusable(body) === null);
    return { id: usable ? now.body.id : undefined, says: (name) => `${name}: as in the plan.` };
  }
  const thenMm = first.file.sensorLongMm ?? first.plannedBody.longMm;
  const alike = kit.bodies
    .filter((body) => isSameSensor(longOf(body), thenMm))
    .sort((a, b) => Number(b.id === first.plannedBody.id) - Number(a.id === first.plannedBody.id));
  const usable = alike.find((body) => whyUnusable(body) === null);
  const toldBy =
    first.file.sensorLongMm === null ? "taken from the plan, as the file does not tell" : "by the file";
  if (usable) {
    return {
      id: usable.id,
      says: (name) => `${name}: its sensor is ${thenMm} mm wide, as that of then (${toldBy}).`,
    };
  }
  const why = alike[0] ? `the ${alike[0].name} ${whyUnusable(alike[0])}` : "the register has no such body";
  return {
    id: undefined,
    says: (name) => `${name}: the sensor of then is ${thenMm} mm wide (${toldBy}), and ${why}.`,
  };
}

const longOf = ({ sensor }: Body): number => Math.max(sensor.widthMm, sensor.heightMm);

function sayRule(rule: RepeatRule): string {
  return rule.by === "baseline"
    ? "The baseline rules, for each view the first picture that was kept: a repeat of a repeat would drift a little further each time."
    : `The visit of ${rule.date} rules, as asked.`;
}
