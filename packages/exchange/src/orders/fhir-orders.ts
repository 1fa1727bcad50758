import { z } from "zod";
import type { IncomingOrder, IncomingPatient, ReadOrder } from "./incoming-order.ts";
import { partOfText } from "./side-of-text.ts";

/**
 * Only what is read of each resource, everything optional: the standard lets senders leave out much, and what is
 * missing is told in words below.
 */
const text = z.string().optional().catch(undefined);
const identifier = z.object({
  use: text,
  type: z.object({ coding: z.array(z.object({ code: text })).optional() }).optional(),
  system: text,
  value: text,
  assigner: z.object({ display: text }).optional(),
});
const concept = z.object({
  text,
  coding: z.array(z.object({ code: text, display: text })).optional(),
});
const reference = z.object({ reference: text, display: text });
const annotation = z.object({ text });

const patientSchema = z.object({
  resourceType: z.literal("Patient"),
  id: text,
  identifier: z.array(identifier).optional(),
  name: z
    .array(z.object({ use: text, family: text, given: z.array(z.string()).optional(), text }))
    .optional(),
  birthDate: text,
});

const orderSchema = z.object({
  resourceType: z.literal("ServiceRequest"),
  id: text,
  identifier: z.array(identifier).optional(),
  status: text,
  intent: text,
  priority: text,
  code: concept.optional(),
  subject: reference.optional(),
  encounter: reference.optional(),
  occurrenceDateTime: text,
  occurrencePeriod: z.object({ start: text, end: text }).optional(),
  requester: reference.optional(),
  locationReference: z.array(reference).optional(),
  reasonCode: z.array(concept).optional(),
  bodySite: z.array(concept).optional(),
  note: z.array(annotation).optional(),
  patientInstruction: text,
  contained: z.array(z.unknown()).optional(),
});

const bundleSchema = z.object({
  resourceType: z.literal("Bundle"),
  entry: z
    .array(z.object({ fullUrl: text, resource: z.unknown() }))
    .max(10_000)
    .optional(),
});

type Patient = z.output<typeof patientSchema>;
type Order = z.output<typeof orderSchema>;

/**
 * The orders of a FHIR R4 file: a ServiceRequest with its Patient contained, or a Bundle of both.
 *
 * Read are ServiceRequest identifier, status, intent, priority, code, subject, occurrence (dateTime or period), requester,
 * locationReference, reasonCode, bodySite, note, patientInstruction; Patient identifier, name, birthDate. Other elements are
 * not looked at.
 *
 * @source FhirR4, ServiceRequest and Patient
 */
export function ordersOfFhir(value: unknown): ReadOrder[] {
  const bundle = bundleSchema.safeParse(value);
  const entries = bundle.success ? (bundle.data.entry ?? []) : [{ fullUrl: undefined, resource: value }];
  const resources = entries.map(({ fullUrl, resource }) => ({ fullUrl, resource }));
  const orders = resources.filter(({ resource }) => typeOf(resource) === "ServiceRequest");
  if (orders.length === 0) return [{ fault: "It holds no ServiceRequest" }];
  return orders.map(({ resource }) => {
    const order = orderSchema.safeParse(resource);
    if (!order.success) {
      const [issue] = order.error.issues;
      return { fault: `A ServiceRequest that cannot be read: ${issue?.path.join(".")}: ${issue?.message}` };
    }
    return orderOf(order.data, resources);
  });
}

type Resource = { readonly fullUrl: string | undefined; readonly resource: unknown };

const typeOf = (resource: unknown): unknown =>
  typeof resource === "object" && resource !== null
    ? (resource as { resourceType?: unknown }).resourceType
    : null;

/** Requests that are only drafts or proposals ask for nothing yet. */
const WHAT: Readonly<Record<string, IncomingOrder["what"]>> = {
  active: "request",
  revoked: "call-off",
  "entered-in-error": "call-off",
};
const INTENTS = new Set(["order", "original-order", "filler-order", "instance-order"]);

function orderOf(order: Order, resources: readonly Resource[]): ReadOrder {
  const own = order.identifier?.find(({ system, value }) => system && value);
  const named = own ? `ServiceRequest ${own.value}` : `ServiceRequest ${order.id ?? "without an id"}`;
  if (!own?.system || !own.value) {
    return {
      fault: `${named}: it has no identifier with system and value, so that the same order could not be known again`,
    };
  }
  const what = WHAT[order.status ?? ""];
  if (what === undefined)
    return { fault: `${named}: its status is ${order.status ?? "missing"}; taken are active, revoked` };
  if (!INTENTS.has(order.intent ?? ""))
    return { fault: `${named}: its intent is ${order.intent ?? "missing"}, not an order` };
  const patient = patientOf(order, resources);
  if (typeof patient === "string") return { fault: `${named}: ${patient}` };
  const when = timeOf(order.occurrenceDateTime ?? order.occurrencePeriod?.start);
  if (when === undefined) return { fault: `${named}: its occurrence is no date or time` };
  return {
    order: {
      what,
      identifier: { system: own.system, value: own.value },
      patient,
      title: wordsOf(order.code),
      requester: order.requester?.display ?? null,
      site: null,
      place: order.locationReference?.map(({ display }) => display).find((display) => display) ?? null,
      patientIs: null,
      priority: PRIORITY[order.priority ?? "routine"] ?? "routine",
      parts: (order.bodySite ?? []).flatMap((site) => wordsOf(site) ?? []).map(partOfText),
      purpose: (order.reasonCode ?? []).flatMap((reason) => wordsOf(reason) ?? []).join("; ") || null,
      dueDate: when?.day ?? null,
      bookedAt: when?.time ?? null,
      notes: [...(order.note ?? []).map(({ text }) => text), order.patientInstruction].filter(
        (note): note is string => typeof note === "string" && note.trim() !== "",
      ),
    },
  };
}

const PRIORITY: Readonly<Record<string, IncomingOrder["priority"]>> = {
  routine: "routine",
  urgent: "urgent",
  asap: "asap",
  stat: "stat",
};

const wordsOf = (of: z.output<typeof concept> | undefined): string | null =>
  of?.text ?? of?.coding?.find(({ display }) => display)?.display ?? of?.coding?.[0]?.code ?? null;

/** The subject's Patient, contained or in the same bundle; or a sentence that says what is missing. */
function patientOf(order: Order, resources: readonly Resource[]): IncomingPatient | string {
  const said = order.subject?.reference;
  if (!said) return "it has no subject that can be looked up";
  const found = said.startsWith("#")
    ? order.contained?.find((each) => (each as { id?: unknown } | null)?.id === said.slice(1))
    : resources.find(({ fullUrl, resource }) => fullUrl === said || isNamed(resource, said))?.resource;
  if (!found) return `its subject ${said.slice(0, 80)} is not in the file`;
  const parsed = patientSchema.safeParse(found);
  if (!parsed.success) return `its subject ${said.slice(0, 80)} is no Patient that can be read`;
  return identityOf(parsed.data);
}

const isNamed = (resource: unknown, said: string): boolean =>
  typeOf(resource) === "Patient" && `Patient/${(resource as { id?: unknown }).id}` === said;

function identityOf({ identifier, name, birthDate }: Patient): IncomingPatient | string {
  const numbers = (identifier ?? []).filter(({ value }) => value);
  const isMedicalRecord = (one: (typeof numbers)[number]) =>
    one.type?.coding?.some(({ code }) => code === "MR") ?? false;
  const chosen =
    numbers.find((one) => one.use !== "old" && isMedicalRecord(one)) ??
    numbers.find(({ use }) => use !== "old");
  const authority = chosen?.assigner?.display ?? chosen?.system;
  if (!chosen?.value || !authority)
    return "the patient has no number together with the authority that gave it";
  const called = name?.find(({ use }) => use === "official") ?? name?.find(({ use }) => use !== "old");
  if (!called?.family) return "the patient has no family name";
  if (birthDate !== undefined && !/^\d{4}-\d{2}-\d{2}$/.test(birthDate)) {
    return `the patient's date of birth is not a whole date: ${birthDate.slice(0, 20)}`;
  }
  return {
    number: chosen.value,
    authority,
    familyName: called.family,
    givenName: (called.given ?? []).join(" "),
    birthDate: birthDate ?? null,
  };
}

/** A FHIR date or dateTime: the day, and the wall clock's time of the place. Null: none given; undefined: no date. */
function timeOf(
  text: string | undefined,
): { readonly day: string; readonly time: string | null } | null | undefined {
  if (text === undefined) return null;
  const parts = /^(\d{4}-\d{2}-\d{2})(?:T(\d{2}:\d{2}):\d{2}(?:\.\d+)?(?:Z|[+-]\d{2}:\d{2}))?$/.exec(text);
  if (!parts || Number.isNaN(Date.parse(text))) return undefined;
  const [, day = "", clock] = parts;
  return { day, time: clock === undefined ? null : `${day}T${clock}` };
}
