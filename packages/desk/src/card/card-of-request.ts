import { SamescaleError } from "@samescale/errors";
import { type SelfContainedPage, type ShotCard, shotCardPage } from "@samescale/exchange";
import type { Practice } from "@samescale/practice";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { planOfRequest } from "../look/plan-of-request.ts";
import { requestByCode } from "../look/request-by-code.ts";
import { cardOfPlan } from "./card-of-plan.ts";

/**
 * The shot card of a request from its newest plan.
 * @throws SamescaleError REQUEST_UNKNOWN, REQUEST_WITHOUT_PLAN
 */
export async function cardOfRequest(
  desk: Desk,
  actor: Actor,
  requestCode: string,
  practice: Practice,
): Promise<{ readonly requestId: string; readonly card: ShotCard }> {
  const { id, dueDate, patient } = await subjectOf(desk, actor, requestCode);
  const plan = await planOfRequest(desk, actor, id);
  if (plan === null) {
    throw new SamescaleError(
      "REQUEST_WITHOUT_PLAN",
      `Request ${requestCode} has no plan that this version reads`,
      `Plan it first: samescale plan SET --request ${requestCode}.`,
    );
  }
  const card = cardOfPlan({ requestCode, dueDate, patient }, plan, practice, desk.library.clock());
  return { requestId: id, card };
}

/** The card as a page for a phone, to be shown and not kept. @throws as `cardOfRequest` */
export async function cardPage(
  desk: Desk,
  actor: Actor,
  requestCode: string,
  practice: Practice,
): Promise<SelfContainedPage> {
  const { card } = await cardOfRequest(desk, actor, requestCode, practice);
  return await shotCardPage(card);
}

async function subjectOf(desk: Desk, actor: Actor, code: string) {
  const { id } = await requestByCode(desk, actor, code);
  const row = await desk.library.read
    .selectFrom("request")
    .leftJoin("patient", "patient.id", "request.patient_id")
    .select(["request.due_date", "patient.number", "patient.name"])
    .where("request.id", "=", id)
    .executeTakeFirstOrThrow();
  const { due_date: dueDate, number, name } = row;
  return { id, dueDate, patient: number === null || name === null ? null : { number, name } };
}
