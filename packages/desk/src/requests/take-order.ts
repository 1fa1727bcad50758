import type { IncomingOrder } from "@samescale/exchange";
import { type RequestDetails, requestDetailsOf } from "@samescale/practice";
import { PHOTOGRAPHERS } from "../act/actor.ts";
import { isDay } from "../act/checks.ts";
import { type ActContext, defineAct } from "../act/define-act.ts";
import { jsonText } from "../act/json.ts";
import { checkedRequest, externalText, type NewRequest, writeRequest } from "./new-request.ts";
import { patientOfOrder } from "./order-patient.ts";

export interface OrderToTake {
  readonly order: IncomingOrder;
  /** The practice's name for whoever gave the patient's number. */
  readonly authorityOf: (said: string) => string;
}

export interface TakenOrder {
  readonly state: "added" | "changed" | "the-same" | "called-off";
  readonly id: string;
  readonly code: string;
  readonly patient: "new" | "known" | "none";
}

/**
 * Makes a request of an order, or changes the one that the same order made before. An order that does not fit what is
 * known of the patient is refused, and nothing is written: a person decides.
 */
export const takeOrder = defineAct<OrderToTake, TakenOrder>({
  name: "request.take-order",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ order, authorityOf }, context) {
    const external = externalText(order.identifier);
    const before = await earlier(external, context);
    if (order.what === "call-off") return callOff(order, before, context);
    const patient = await patientOfOrder(order, authorityOf, context);
    if ("refused" in patient) return patient;
    const details = detailsOf(order, patient.notes);
    if ("refused" in details) return details;
    if (order.dueDate !== null && !isDay(order.dueDate)) return { refused: `${order.dueDate} is no day` };
    const state = patient.id === null ? "none" : patient.row ? "new" : "known";
    if (before) {
      if (before.patient_id !== patient.id) {
        return {
          refused: `Order ${order.identifier.value} names another patient than before: change nothing, ask the sender`,
        };
      }
      return changed(order, before, details, context, state);
    }
    const id = context.newId();
    const request: NewRequest = {
      patientId: patient.id,
      kind: patient.id === null ? "non-clinical" : "clinical",
      dueDate: order.dueDate,
      priority: order.priority,
      external: order.identifier,
      details,
    };
    // Nothing may have been written when an act refuses: everything that can be refused was looked at above.
    if (patient.row) await context.writing.insert("patient", patient.row);
    const checked = await checkedRequest(request, id, context);
    if ("refused" in checked) return checked;
    await writeRequest(request, id, checked, context);
    const told = { code: checked.code, order: external };
    return {
      value: { state: "added", id, code: checked.code, patient: state },
      deed: { act: "request.take-order", subject: `request/${id}`, details: told },
    };
  },
});

/** What the same order made when it came before. */
const earlier = (external: string, { tables }: ActContext) =>
  tables.selectFrom("request").selectAll().where("external", "=", external).executeTakeFirst();
type Before = NonNullable<Awaited<ReturnType<typeof earlier>>>;

async function callOff({ identifier }: IncomingOrder, before: Before | undefined, { writing }: ActContext) {
  if (!before) return { refused: `Order ${identifier.value} is called off, and nothing is known of it here` };
  const { id, code } = before;
  const value: TakenOrder = { state: "called-off", id, code, patient: "none" };
  if (before.state === "cancelled") return { value, deed: null };
  if (before.state === "done") {
    return {
      refused: `Order ${identifier.value} is called off, and its pictures were made already (${code})`,
    };
  }
  await writing.update("request", id, { state: "cancelled" });
  const details = { because: "called off by the system that sent it" };
  return { value, deed: { act: "request.cancel", subject: `request/${id}`, details } };
}

async function changed(
  order: IncomingOrder,
  before: Before,
  details: RequestDetails,
  { writing }: ActContext,
  patient: TakenOrder["patient"],
) {
  const { id, code } = before;
  // What was filled in here by hand and the order says nothing of, stays.
  const kept = { ...JSON.parse(before.details), ...withoutEmpty(details) };
  const read = requestDetailsOf(kept);
  if ("faults" in read) return { refused: `The order cannot be kept: ${read.faults.join("; ")}` };
  const after = { due_date: order.dueDate, priority: order.priority, details: jsonText(read.details) };
  const same =
    after.due_date === before.due_date &&
    after.priority === before.priority &&
    after.details === before.details;
  if (same) return { value: { state: "the-same" as const, id, code, patient }, deed: null };
  if (before.state !== "open") {
    return {
      refused: `Order ${order.identifier.value} was changed, and its request ${code} is ${before.state}`,
    };
  }
  await writing.update("request", id, after);
  const was = { dueDate: before.due_date, priority: before.priority, details: JSON.parse(before.details) };
  return {
    value: { state: "changed" as const, id, code, patient },
    deed: { act: "request.change", subject: `request/${id}`, details: { before: was, by: "order" } },
  };
}

const withoutEmpty = (details: RequestDetails) =>
  Object.fromEntries(
    Object.entries(details).filter(
      ([, value]) => value !== undefined && !(Array.isArray(value) && value.length === 0),
    ),
  );

function detailsOf(
  order: IncomingOrder,
  notes: readonly string[],
): RequestDetails | { readonly refused: string } {
  const texts = {
    title: short(order.title, 160),
    requester: short(order.requester, 120),
    site: short(order.site, 120),
    place: short(order.place, 120),
    purpose: short(order.purpose, 400),
  };
  const read = requestDetailsOf({
    ...Object.fromEntries(Object.entries(texts).filter(([, text]) => text !== null)),
    ...(order.patientIs ? { patientIs: order.patientIs } : {}),
    parts: order.parts.map(({ part, side }) => ({ part: short(part, 80), side })),
    bookedAt: order.bookedAt === null ? [] : [order.bookedAt],
    notes: [...order.notes, ...notes].map((note) => short(note, 2000)).filter((note) => note !== null),
  });
  return "details" in read
    ? read.details
    : { refused: `The order cannot be kept: ${read.faults.join("; ")}` };
}

/** Senders' texts are longer than a list, and hold what a terminal must not see. */
function short(text: string | null, most: number): string | null {
  const plain = (text ?? "").replace(/[\p{Cc}\p{Cf}\s]+/gu, " ").trim();
  if (plain === "") return null;
  return plain.length <= most ? plain : `${plain.slice(0, most - 1)}…`;
}
