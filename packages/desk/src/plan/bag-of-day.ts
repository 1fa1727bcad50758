import { type BagList, bagList, type Plan, type Practice } from "@samescale/practice";
import { seenRequests } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";

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
  const requests = await desk.library.read
    .selectFrom("request")
    .leftJoin("visit", (join) =>
      join.onRef("visit.request_id", "=", "request.id").on("visit.void_because", "is", null),
    )
    .select(["request.id", "request.code"])
    .where(seenRequests(actor, desk.library.clock().toISOString()))
    .where("request.state", "=", "open")
    .where((is) =>
      is.or([
        is("visit.date", "=", day),
        is.and([is("visit.date", "is", null), is("request.due_date", "=", day)]),
      ]),
    )
    .distinct()
    .orderBy("request.code")
    .execute();
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

async function newestPlans(desk: Desk, requestIds: readonly string[]): Promise<Map<string, Plan>> {
  if (requestIds.length === 0) return new Map();
  const rows = await desk.library.read
    .selectFrom("plan")
    .select(["request_id", "body"])
    .where("request_id", "in", requestIds)
    .where("format", "=", "views/2")
    .orderBy("revision")
    .execute();
  return new Map(rows.map((row) => [row.request_id, JSON.parse(row.body) as Plan]));
}
