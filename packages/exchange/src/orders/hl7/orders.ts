import type { IncomingOrder, IncomingPatient, ReadOrder } from "../incoming-order.ts";
import { partOfText } from "../side-of-text.ts";
import { messagesOf, type Segment } from "./message.ts";

/**
 * The orders of an HL7 version 2 file: general orders (ORM^O01, OMG^O19), one for each OBR.
 *
 * Read are MSH-4 (sending facility), PID-3, 5, 7, PV1-2, 3, ORC-1, 2, 12, OBR-4, 12, 13, 15, 16, 27, 31, 36, TQ1-7, 9
 * and NTE-3. A segment or field that is not named here is not looked at.
 *
 * @source HL7v2, chapters 3 and 4
 */
export function ordersOfHl7(text: string): ReadOrder[] {
  const messages = messagesOf(text);
  if (messages.length === 0) return [{ fault: "It holds no message: none of its lines begins with MSH" }];
  return messages.flatMap(ordersOfMessage);
}

function ordersOfMessage(segments: readonly Segment[]): ReadOrder[] {
  const header = segments[0] as Segment;
  const kind = `${header.at(9, 1)}^${header.at(9, 2)}`;
  if (kind !== "ORM^O01" && kind !== "OMG^O19") {
    return [
      { fault: `Message ${header.at(10) || "without a number"} is ${kind}, not an order (ORM^O01, OMG^O19)` },
    ];
  }
  const read: ReadOrder[] = [];
  const shared = segments.slice(
    0,
    segments.findIndex(({ name }) => name === "ORC"),
  );
  for (const group of groupsOf(segments)) read.push(orderOfGroup(header, shared, group));
  return read.length > 0 ? read : [{ fault: `Message ${header.at(10)} has no order in it (no ORC)` }];
}

/** Each ORC begins an order. */
function groupsOf(segments: readonly Segment[]): Segment[][] {
  const groups: Segment[][] = [];
  for (const segment of segments) {
    if (segment.name === "ORC") groups.push([]);
    groups.at(-1)?.push(segment);
  }
  return groups;
}

/** Table 0119 of the standard, as far as it means something here. */
const CONTROL: Readonly<Record<string, IncomingOrder["what"]>> = {
  NW: "request",
  XO: "request",
  RP: "request",
  SC: "request",
  CA: "call-off",
  OC: "call-off",
  DC: "call-off",
};

function orderOfGroup(header: Segment, shared: readonly Segment[], group: readonly Segment[]): ReadOrder {
  const orc = group[0] as Segment;
  const of = (name: string) => group.find((segment) => segment.name === name);
  const obr = of("OBR");
  const tq1 = of("TQ1");
  const pid = shared.find(({ name }) => name === "PID");
  const pv1 = shared.find(({ name }) => name === "PV1");
  const what = CONTROL[orc.at(1)];
  const value = orc.at(2) || obr?.at(2) || "";
  const named = value === "" ? "An order without a placer's number" : `Order ${value}`;
  if (what === undefined)
    return { fault: `${named}: its control code is ${orc.at(1) || "missing"}, which is not read here` };
  if (value === "") return { fault: `${named}: ORC-2 and OBR-2 are empty` };
  const system = orc.at(2, 2) || obr?.at(2, 2) || header.at(4) || header.at(3);
  if (system === "") return { fault: `${named}: nothing says which system gave the number` };
  if (!obr) return { fault: `${named}: it has no OBR, nothing says what is asked for` };
  const patient = pid ? patientOf(pid) : null;
  if (typeof patient === "string") return { fault: `${named}: ${patient}` };
  const when = timeOf(obr.at(36)) ?? timeOf(tq1?.at(7) ?? "") ?? timeOf(obr.at(27, 4));
  return {
    order: {
      what,
      identifier: { system, value },
      patient,
      title: obr.at(4, 2) || obr.at(4, 1) || null,
      requester: nameOf(orc, 12) ?? nameOf(obr, 16),
      site: pv1?.at(3, 4) || null,
      place: pv1?.at(3, 1) || null,
      patientIs: PATIENT_IS[pv1?.at(2) ?? ""] ?? null,
      priority: PRIORITY[tq1?.at(9) || obr.at(27, 6) || "R"] ?? "routine",
      parts: partsOf(obr),
      purpose: listOf(obr, 31, 2).join("; ") || null,
      dueDate: when?.day ?? null,
      bookedAt: when?.time ?? null,
      notes: notesOf(group, obr),
    },
  };
}

/** Table 0004: emergencies are seen on a ward or in a clinic, which the order does not say. */
const PATIENT_IS: Readonly<Record<string, IncomingOrder["patientIs"]>> = {
  I: "in-patient",
  O: "out-patient",
};

const PRIORITY: Readonly<Record<string, IncomingOrder["priority"]>> = {
  S: "stat",
  A: "asap",
  C: "asap",
  R: "routine",
  P: "routine",
  T: "routine",
};

/** The patient, or a sentence that says what is missing. A number without who gave it names nobody. */
function patientOf(pid: Segment): IncomingPatient | string {
  const numbers = Array.from({ length: pid.repeats(3) }, (_, i) => ({
    number: pid.at(3, 1, i + 1),
    authority: pid.at(3, 4, i + 1) || pid.at(3, 4, i + 1, 2),
    kind: pid.at(3, 5, i + 1),
  })).filter(({ number, authority }) => number !== "" && authority !== "");
  const chosen = numbers.find(({ kind }) => kind === "MR") ?? numbers[0];
  if (!chosen) return "PID-3 has no number together with the authority that gave it";
  const familyName = pid.at(5, 1);
  if (familyName === "") return "PID-5 has no family name";
  const born = pid.at(7);
  const birthDate = timeOf(born)?.day ?? null;
  if (born !== "" && birthDate === null) return `PID-7 is no date: ${born.slice(0, 20)}`;
  return {
    number: chosen.number,
    authority: chosen.authority,
    familyName,
    givenName: pid.at(5, 2),
    birthDate,
  };
}

function nameOf(segment: Segment, field: number): string | null {
  const parts = [segment.at(field, 6), segment.at(field, 3), segment.at(field, 2)].filter(
    (part) => part !== "",
  );
  return parts.join(" ") || segment.at(field, 1) || null;
}

/** OBR-15 (specimen source): its fourth component is the site, its fifth what says the side. */
function partsOf(obr: Segment): IncomingOrder["parts"] {
  const site = obr.at(15, 4, 1, 2) || obr.at(15, 4);
  if (site === "") return [];
  const said = partOfText(site);
  const side = SIDE[obr.at(15, 5).toUpperCase()];
  return [side === undefined ? said : { ...said, side }];
}

const SIDE: Readonly<Record<string, IncomingOrder["parts"][number]["side"]>> = {
  L: "left",
  LT: "left",
  LEFT: "left",
  R: "right",
  RT: "right",
  RIGHT: "right",
  B: "both",
  BIL: "both",
  BILATERAL: "both",
};

function listOf(segment: Segment, field: number, component: number): string[] {
  return Array.from(
    { length: segment.repeats(field) },
    (_, i) => segment.at(field, component, i + 1) || segment.at(field, 1, i + 1),
  ).filter((text) => text !== "");
}

function notesOf(group: readonly Segment[], obr: Segment): string[] {
  const danger = obr.at(12, 2) || obr.at(12, 1);
  const notes = group.filter(({ name }) => name === "NTE").flatMap((nte) => listOf(nte, 3, 1));
  return [danger && `Danger: ${danger}`, obr.at(13), ...notes].filter((note) => note !== "");
}

/** YYYYMMDD[HHMM[SS]][±ZZZZ]; the zone is left out: the time is that of the place. Null when it is no time. */
function timeOf(text: string): { readonly day: string; readonly time: string | null } | null {
  const parts = /^(\d{4})(\d{2})(\d{2})(?:(\d{2})(\d{2})(?:\d{2}(?:\.\d{1,4})?)?)?(?:[+-]\d{4})?$/.exec(text);
  if (!parts) return null;
  const [, year, month, date, hour, minute] = parts;
  const day = `${year}-${month}-${date}`;
  const time = hour === undefined ? null : `${day}T${hour}:${minute}`;
  const parsed = new Date(`${time ?? `${day}T00:00`}:00Z`);
  return Number.isNaN(parsed.getTime()) || !parsed.toISOString().startsWith(time ?? day)
    ? null
    : { day, time };
}
