import { type RequestDetails, requestDetailsOf, titleOf } from "@samescale/practice";
import { seenRequests } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { versionOf } from "./request-history.ts";

/** A request as lists show it. */
export interface ListedRequest {
  readonly id: string;
  readonly code: string;
  readonly title: string;
  readonly kind: "clinical" | "non-clinical";
  readonly state: "open" | "done" | "cancelled";
  readonly priority: string | null;
  readonly dueDate: string | null;
  readonly patient: { readonly number: string; readonly authority: string; readonly name: string } | null;
}

export interface WholeRequest extends ListedRequest {
  readonly birthDate: string | null;
  readonly sensitive: readonly string[];
  readonly external: string | null;
  readonly details: RequestDetails;
  /** Number of the last act that changed it: say it with a change (`since`). */
  readonly version: number;
}

/** No department has more open requests; a longer list is searched. */
const MOST = 500;

/** The requests of one state that somebody knows of, those that are due first in front. */
export async function listRequests(
  desk: Desk,
  actor: Actor,
  state: ListedRequest["state"],
): Promise<readonly ListedRequest[]> {
  const rows = await requestRows(desk, actor)
    .where("request.state", "=", state)
    .orderBy((is) => is.fn.coalesce("request.due_date", is.val("9999")))
    .orderBy("request.made_at")
    .limit(MOST)
    .execute();
  return rows.map(listed);
}

/** Those of these codes that somebody knows of, in no order: what a search found. */
export async function requestsOfCodes(
  desk: Desk,
  actor: Actor,
  codes: readonly string[],
): Promise<readonly ListedRequest[]> {
  const rows = await requestRows(desk, actor)
    .where("request.code", "in", ["", ...codes.slice(0, MOST)])
    .execute();
  return rows.map(listed);
}

/** Those of these codes that somebody knows of. */
export async function requestsByCode(
  desk: Desk,
  actor: Actor,
  codes: readonly string[],
): Promise<ReadonlyMap<string, ListedRequest>> {
  if (codes.length === 0) return new Map();
  const rows = await requestRows(desk, actor).where("request.code", "in", codes).execute();
  return new Map(rows.map((row) => [row.code, listed(row)]));
}

/** One request as it was asked for; null where there is none that they know of. */
export async function requestAsked(desk: Desk, actor: Actor, code: string): Promise<WholeRequest | null> {
  const row = await requestRows(desk, actor).where("request.code", "=", code).executeTakeFirst();
  if (!row) return null;
  return {
    ...listed(row),
    birthDate: row.birth_date,
    sensitive: JSON.parse(row.sensitive ?? "[]") as string[],
    external: row.external,
    details: requestDetails(row.details),
    version: await versionOf(desk.library.read, row.id),
  };
}

/** The columns of lists, of every request that somebody knows of. */
export const requestRows = ({ library }: Desk, actor: Actor) =>
  library.read
    .selectFrom("request")
    .leftJoin("patient", "patient.id", "request.patient_id")
    .select([
      "request.id",
      "request.code",
      "request.kind",
      "request.state",
      "request.priority",
      "request.due_date",
      "request.sensitive",
      "request.external",
      "request.details",
      "patient.number",
      "patient.authority",
      "patient.name",
      "patient.birth_date",
    ])
    .where(seenRequests(actor, library.clock().toISOString()));

type Row = Awaited<ReturnType<ReturnType<typeof requestRows>["executeTakeFirstOrThrow"]>>;

export function listed(row: Row): ListedRequest {
  const { id, code, kind, state, priority, number, authority, name } = row;
  const patient = number !== null && authority !== null && name !== null ? { number, authority, name } : null;
  return {
    id,
    code,
    kind,
    state,
    priority,
    dueDate: row.due_date,
    patient,
    title: titleOf(requestDetails(row.details)),
  };
}

/** What an older version kept and this one does not know is left out, not refused. */
export function requestDetails(text: string): RequestDetails {
  const read = requestDetailsOf(JSON.parse(text));
  if ("details" in read) return read.details;
  const { title } = JSON.parse(text) as { title?: unknown };
  const bare = requestDetailsOf(typeof title === "string" ? { title } : {});
  return "details" in bare ? bare.details : (requestDetailsOf({}) as { details: RequestDetails }).details;
}
