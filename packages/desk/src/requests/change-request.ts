import { requestDetailsOf } from "@samescale/practice";
import { PHOTOGRAPHERS } from "../act/actor.ts";
import { isDay, isPlainText } from "../act/checks.ts";
import { type ActContext, defineAct } from "../act/define-act.ts";
import { jsonText } from "../act/json.ts";
import type { Priority } from "./new-request.ts";
import { changesSince, type RequestEntry } from "./request-history.ts";

export interface RequestChange {
  readonly requestId: string;
  readonly dueDate?: string | null;
  readonly priority?: Priority | null;
  /** Fields of the details that are replaced; null takes one out. */
  readonly details?: Readonly<Record<string, unknown>>;
  /** The version that the person had in front of them: what changed since is told and not written over. */
  readonly since?: number;
}

/** What can still be asked for differently. The log keeps what stood there before. */
export const changeRequest = defineAct<RequestChange, null>({
  name: "request.change",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run(change, context) {
    const { requestId, dueDate, priority } = change;
    const request = await openRequest(requestId, context);
    if ("refused" in request) return request;
    const meanwhile =
      change.since === undefined ? [] : await changesSince(context.tables, requestId, change.since);
    if (meanwhile.length > 0) return { refused: sayMeanwhile(meanwhile) };
    if (typeof dueDate === "string" && !isDay(dueDate)) {
      return { refused: `Expected a day such as 2026-03-15, received ${dueDate}` };
    }
    const merged = Object.entries({ ...JSON.parse(request.details), ...change.details });
    const read = requestDetailsOf(Object.fromEntries(merged.filter(([, value]) => value !== null)));
    if ("faults" in read) return { refused: `The request cannot be kept: ${read.faults.join("; ")}` };
    const before = {
      dueDate: request.due_date,
      priority: request.priority,
      details: JSON.parse(request.details),
    };
    const after = {
      due_date: dueDate === undefined ? request.due_date : dueDate,
      priority: priority === undefined ? request.priority : priority,
      details: jsonText(read.details),
    };
    const same =
      after.due_date === request.due_date &&
      after.priority === request.priority &&
      after.details === request.details;
    if (same) return { value: null, deed: null };
    await context.writing.update("request", requestId, after);
    return {
      value: null,
      deed: { act: "request.change", subject: `request/${requestId}`, details: { before } },
    };
  },
});

/** "Ann Lee [7] changed it at 10:32 UTC: priority …", for whoever comes second. */
function sayMeanwhile(entries: readonly RequestEntry[]): string {
  const says = entries.map(({ actor, time, changes }) => {
    const fields = changes.map(
      ({ field, before, after }) => `${field} was ${before ?? "empty"} and is ${after ?? "empty"}`,
    );
    return `${nameIn(actor)} changed it on ${time.slice(0, 10)} at ${time.slice(11, 16)} UTC${fields.length > 0 ? `: ${fields.join(", ")}` : ""}`;
  });
  return `Meanwhile ${says.join("; ")}. Nothing of yours was written: look at it, and save again`;
}

/** "photographer:Ann Lee [01…]" is Ann Lee. */
const nameIn = (actor: string): string => actor.replace(/^[a-z]+:/, "").replace(/ \[[^\]]*\]$/, "");

export interface RequestEnd {
  readonly requestId: string;
  readonly because: string;
}

/** Called off: nothing is to be made any more, and nothing of it is released. Its pictures stay in the record. */
export const cancelRequest = endAct("request.cancel", "cancelled");

/** Everything that was asked for has been made. */
export const closeRequest = endAct("request.close", "done");

/** Cancelled or done by mistake. */
export const reopenRequest = defineAct<RequestEnd, null>({
  name: "request.reopen",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ requestId, because }, { writing, tables }) {
    if (!isPlainText(because)) return { refused: "Opening a request again needs a reason" };
    const request = await tables
      .selectFrom("request")
      .select("state")
      .where("id", "=", requestId)
      .executeTakeFirst();
    if (!request) return { refused: `There is no request ${requestId}` };
    if (request.state === "open") return { refused: "The request is open" };
    await writing.update("request", requestId, { state: "open" });
    const details = { because, before: request.state };
    return { value: null, deed: { act: "request.reopen", subject: `request/${requestId}`, details } };
  },
});

function endAct(name: string, state: "cancelled" | "done") {
  return defineAct<RequestEnd, null>({
    name,
    may: PHOTOGRAPHERS,
    consent: "nothing leaves",
    async run({ requestId, because }, context) {
      if (!isPlainText(because)) return { refused: "Say why, in a few words" };
      const request = await openRequest(requestId, context);
      if ("refused" in request) return request;
      await context.writing.update("request", requestId, { state });
      return { value: null, deed: { act: name, subject: `request/${requestId}`, details: { because } } };
    },
  });
}

async function openRequest(requestId: string, { tables }: ActContext) {
  const request = await tables
    .selectFrom("request")
    .selectAll()
    .where("id", "=", requestId)
    .executeTakeFirst();
  if (!request) return { refused: `There is no request ${requestId}` } as const;
  if (request.state !== "open")
    return { refused: `The request is ${request.state}: open it again first` } as const;
  return request;
}
