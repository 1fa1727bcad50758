import type { Library } from "@samescale/record";
import { maySeeRequest } from "../access/seeing.ts";
import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import type { Desk } from "../desk.ts";

/** One act on a request: who, when, and what stood there before and after. */
export interface RequestEntry {
  /** Number in the custody log. */
  readonly entry: number;
  readonly time: string;
  readonly actor: string;
  readonly act: string;
  readonly because: string | null;
  readonly changes: readonly FieldChange[];
}

export interface FieldChange {
  readonly field: string;
  /** As JSON text; null: nothing stood there. */
  readonly before: string | null;
  readonly after: string | null;
}

/** Everything of a request that can be asked for differently. */
export interface Asking {
  readonly dueDate: string | null;
  readonly priority: string | null;
  readonly details: Readonly<Record<string, unknown>>;
}

/** What was done to a request, newest first; for those who handle pictures. */
export async function requestHistory(
  { library }: Desk,
  actor: Actor,
  requestId: string,
): Promise<readonly RequestEntry[]> {
  const { read, clock } = library;
  const isFor = [...PHOTOGRAPHERS, "auditor"].includes(actor.role);
  if (!isFor || !(await maySeeRequest(read, actor, requestId, clock().toISOString()))) return [];
  return (await changesSince(read, requestId, 0)).toReversed();
}

/** The number of the last act that changed what is asked for: whoever changes it says which one they had seen. */
export async function versionOf(
  tables: Pick<Library["read"], "selectFrom">,
  requestId: string,
): Promise<number> {
  const row = await actsOn(tables, requestId).orderBy("sequence", "desc").limit(1).executeTakeFirst();
  return row?.sequence ?? 0;
}

/** The acts after a version, oldest first, each with what it changed. */
export async function changesSince(
  tables: Pick<Library["read"], "selectFrom">,
  requestId: string,
  version: number,
): Promise<readonly RequestEntry[]> {
  const rows = await actsOn(tables, requestId).where("sequence", ">", version).orderBy("sequence").execute();
  const now = await tables
    .selectFrom("request")
    .select(["due_date", "priority", "details"])
    .where("id", "=", requestId)
    .executeTakeFirstOrThrow();
  const said = rows.map((row) => ({ ...row, details: JSON.parse(row.details) as Said }));
  const befores = said.map(({ details }) => details.before);
  const last: Asking = {
    dueDate: now.due_date,
    priority: now.priority,
    details: JSON.parse(now.details) as Asking["details"],
  };
  return said.map(({ sequence, time, actor, act, details }, i) => {
    const { before, because = null } = details;
    const after = befores.slice(i + 1).find(isAsking) ?? last;
    const changes = isAsking(before) ? fieldsChanged(before, after) : [];
    return { entry: sequence, time, actor, act, because, changes };
  });
}

interface Said {
  readonly before?: unknown;
  readonly because?: string;
}

/** Opening again keeps the state before, a word; a change keeps everything. */
const isAsking = (value: unknown): value is Asking =>
  typeof value === "object" && value !== null && "details" in value;

export function fieldsChanged(before: Asking, after: Asking): FieldChange[] {
  const one: Record<string, unknown> = {
    ...before.details,
    dueDate: before.dueDate,
    priority: before.priority,
  };
  const other: Record<string, unknown> = {
    ...after.details,
    dueDate: after.dueDate,
    priority: after.priority,
  };
  const fields = [...new Set([...Object.keys(one), ...Object.keys(other)])].sort();
  return fields.flatMap((field) => {
    const [was, is] = [textOf(one[field]), textOf(other[field])];
    return was === is ? [] : [{ field, before: was, after: is }];
  });
}

const textOf = (value: unknown): string | null =>
  value === undefined || value === null ? null : JSON.stringify(value);

const actsOn = (tables: Pick<Library["read"], "selectFrom">, requestId: string) =>
  tables
    .selectFrom("act")
    .select(["sequence", "time", "actor", "act", "details"])
    .where("subject", "=", `request/${requestId}`)
    .where("act", "like", "request.%");
