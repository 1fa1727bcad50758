import { type BagList, bagList, type Practice } from "@samescale/practice";
import { seenRequests } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { requestDetails } from "../requests/list-requests.ts";
import { newestPlans } from "./newest-plans.ts";

/**
 * The bag for the visits of a day, from the plans that were kept. Requests of that day without a plan are named.
 * @param day YYYY-MM-DD
 * @param dueOf days on which things of the register are due, by id
 */
export async function bagOfDay(
  desk: Desk,
  actor: Actor,
  practice: Practice,
  day: string,
  dueOf: ReadonlyMap<string, string>,
): Promise<{ readonly bag: BagList; readonly withoutPlan: readonly string[] }> {
  const rows = await desk.library.read
    .selectFrom("request")
    .leftJoin("visit", (join) =>
      join.onRef("visit.request_id", "=", "request.id").on("visit.void_because", "is", null),
    )
    .select(["request.id", "request.code", "request.details", "request.due_date", "visit.date"])
    .where(seenRequests(actor, desk.library.clock().toISOString()))
    .where("request.state", "=", "open")
    .where((is) =>
      is.or([
        is("visit.date", "=", day),
        is.and([is("visit.date", "is", null), is("request.due_date", "=", day)]),
        is("request.details", "like", `%"${day}T%`),
      ]),
    )
    .orderBy("request.code")
    .execute();
  // The day stands in other fields of the details as well, such as that of an operation.
  const ofDay = rows.filter(
    ({ date, due_date, details }) =>
      date === day ||
      (date === null && due_date === day) ||
      requestDetails(details).bookedAt.some((time) => time.startsWith(day)),
  );
  const requests = [...new Map(ofDay.map(({ id, code }) => [id, { id, code }])).values()];
  const plans = await newestPlans(
    desk,
    requests.map(({ id }) => id),
  );
  const visits = requests.flatMap(({ id, code }) => {
    const plan = plans.get(id);
    return plan ? [{ requestCode: code, place: plan.place, plan }] : [];
  });
  return {
    bag: bagList(visits, practice, day, dueOf),
    withoutPlan: requests.filter(({ id }) => !plans.has(id)).map(({ code }) => code),
  };
}
