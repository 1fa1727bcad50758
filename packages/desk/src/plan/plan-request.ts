import { type Plan, type PlanWishes, type Practice, planViews } from "@samescale/practice";
import type { Actor } from "../act/actor.ts";
import type { Outcome } from "../act/outcome.ts";
import type { Desk } from "../desk.ts";
import { savePlan } from "./save-plan.ts";

/** Plans a request from one of the department's view sets and keeps the plan as a new revision. */
export async function planRequest(
  desk: Desk,
  actor: Actor,
  wanted: { readonly requestId: string; readonly viewSetKey: string; readonly wishes?: PlanWishes },
  practice: Practice,
): Promise<Outcome<Plan>> {
  const set = practice.viewSets.find((candidate) => candidate.key === wanted.viewSetKey);
  if (!set) {
    const known = practice.viewSets.map((candidate) => candidate.key).join(", ");
    return { done: false, reason: `The practice has no view set ${wanted.viewSetKey}; it has ${known}` };
  }
  const plan = planViews(set, practice, wanted.wishes);
  const saved = await savePlan(desk, actor, { requestId: wanted.requestId, format: plan.format, body: plan });
  return saved.done ? { done: true, value: plan } : saved;
}
