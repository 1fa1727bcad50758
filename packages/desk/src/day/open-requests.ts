import type { Plan, RequestDetails } from "@samescale/practice";
import { seenRequests } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { newestPlans } from "../plan/newest-plans.ts";
import { type ListedRequest, listed, requestDetails, requestRows } from "../requests/list-requests.ts";

/** An open request with what its day depends on. */
export interface OpenRequest {
  readonly request: ListedRequest;
  readonly patientId: string | null;
  readonly birthDate: string | null;
  readonly details: RequestDetails;
  readonly plan: Plan | null;
  /** Days of visits that count, whether pictures were made or not. */
  readonly visitDays: readonly string[];
  /** Last day on which pictures were made. */
  readonly photographedOn: string | null;
  /** Last day on which pictures went to whoever asked. */
  readonly passedOn: string | null;
}

/** No department has more open requests; a longer list is searched. */
const MOST = 500;

/** Every open request that somebody knows of. */
export async function openRequests(desk: Desk, actor: Actor): Promise<readonly OpenRequest[]> {
  const rows = await requestRows(desk, actor)
    .select("request.patient_id")
    .where("request.state", "=", "open")
    .orderBy("request.made_at")
    .limit(MOST)
    .execute();
  const ids = rows.map(({ id }) => id);
  const [plans, days, passed] = await Promise.all([
    newestPlans(desk, ids),
    daysOf(desk, actor),
    passedOnOf(desk, actor),
  ]);
  return rows.map((row) => ({
    request: listed(row),
    patientId: row.patient_id,
    birthDate: row.birth_date,
    details: requestDetails(row.details),
    plan: plans.get(row.id) ?? null,
    visitDays: days.visits.get(row.id) ?? [],
    photographedOn: days.photographed.get(row.id) ?? null,
    passedOn: passed.get(row.id) ?? null,
  }));
}

async function daysOf({ library }: Desk, actor: Actor) {
  const open = library.read
    .selectFrom("visit")
    .innerJoin("request", "request.id", "visit.request_id")
    .where("request.state", "=", "open")
    .where("visit.void_because", "is", null)
    .where("visit.date", "is not", null)
    .where(seenRequests(actor, library.clock().toISOString()));
  const visits = await open.select(["visit.request_id", "visit.date"]).execute();
  const made = await open
    .innerJoin("frame", "frame.visit_id", "visit.id")
    .where("frame.kind", "=", "picture")
    .where("frame.trashed_at", "is", null)
    .select(["visit.request_id", (is) => is.fn.max("visit.date").as("last")])
    .groupBy("visit.request_id")
    .execute();
  const byRequest = Map.groupBy(visits, ({ request_id }) => request_id);
  return {
    visits: new Map([...byRequest].map(([id, of]) => [id, of.map(({ date }) => date ?? "")])),
    photographed: new Map(made.map(({ request_id, last }) => [request_id, last])),
  };
}

async function passedOnOf({ library }: Desk, actor: Actor): Promise<Map<string, string>> {
  const rows = await library.read
    .selectFrom("release")
    .innerJoin("request", "request.id", "release.request_id")
    .where("request.state", "=", "open")
    .where("release.scope", "=", "requester")
    .where("release.handed_over_at", "is not", null)
    .where("release.taken_back_at", "is", null)
    .where(seenRequests(actor, library.clock().toISOString()))
    .select(["request.id", (is) => is.fn.max("release.handed_over_at").as("last")])
    .groupBy("request.id")
    .execute();
  return new Map(rows.map(({ id, last }) => [id, (last ?? "").slice(0, 10)]));
}
