import type { IncomingOrder, ReadOrder } from "./incoming-order.ts";
import { partOfText } from "./side-of-text.ts";

/**
 * Where orders come from when a system is asked instead of read from files: the port that a DICOM modality worklist
 * will fill. Its network part is not built yet; what an answer means is.
 */
export interface OrderSource {
  /** The orders of one day for photographers. */
  ordersOn(day: string, signal: AbortSignal): AsyncIterable<ReadOrder>;
}

interface Element {
  readonly Value?: readonly unknown[];
}
type DataSet = Readonly<Record<string, Element | undefined>>;

const TAG = {
  accession: "00080050",
  modality: "00080060",
  referring: "00080090",
  patientName: "00100010",
  patientId: "00100020",
  issuer: "00100021",
  birthDate: "00100030",
  requestingPhysician: "00321032",
  requestedProcedure: "00321060",
  scheduledDate: "00400002",
  scheduledTime: "00400003",
  stepDescription: "00400007",
  stepLocation: "00400011",
  steps: "00400100",
  procedureId: "00401001",
  reason: "00401002",
  priority: "00401003",
} as const;

/**
 * One answer of a modality worklist in the DICOM JSON model as an order.
 * @param institution who gives the patient's numbers when the answer does not say (Issuer of Patient ID)
 * @source DicomPS3, PS3.4 section K.6 (keys), PS3.18 annex F (JSON)
 */
export function orderOfWorklistItem(item: DataSet, institution: string): ReadOrder {
  const text = (tag: string, of: DataSet = item) => textOf(of[tag]);
  const step = (item[TAG.steps]?.Value?.[0] ?? {}) as DataSet;
  const value = text(TAG.accession) || text(TAG.procedureId);
  if (value === "") return { fault: "A worklist item without accession number and procedure id" };
  const number = text(TAG.patientId);
  const [familyName = "", givenName = ""] = text(TAG.patientName).split("^");
  if (number === "" || familyName === "")
    return { fault: `Worklist item ${value}: no patient's number or name` };
  const modality = text(TAG.modality, step);
  if (modality !== "" && modality !== "XC")
    return { fault: `Worklist item ${value}: it is for modality ${modality}, not for photographs (XC)` };
  const issuer = text(TAG.issuer) || institution;
  const day = dayOf(text(TAG.scheduledDate, step));
  const clock = /^(\d{2})(\d{2})/.exec(text(TAG.scheduledTime, step));
  const said = text(TAG.requestedProcedure) || text(TAG.stepDescription, step);
  const part = said === "" ? null : partOfText(said);
  return {
    order: {
      what: "request",
      identifier: { system: `worklist:${institution}`, value },
      patient: { number, authority: issuer, familyName, givenName, birthDate: dayOf(text(TAG.birthDate)) },
      title: said || null,
      requester: (text(TAG.requestingPhysician) || text(TAG.referring)).replace(/\^+/g, " ").trim() || null,
      site: null,
      place: text(TAG.stepLocation, step) || null,
      patientIs: null,
      priority: PRIORITY[text(TAG.priority)] ?? "routine",
      parts: part && part.side !== "none" ? [part] : [],
      purpose: text(TAG.reason) || null,
      dueDate: day,
      bookedAt: day !== null && clock ? `${day}T${clock[1]}:${clock[2]}` : null,
      notes: [],
    },
  };
}

const PRIORITY: Readonly<Record<string, IncomingOrder["priority"]>> = {
  STAT: "stat",
  HIGH: "urgent",
  MEDIUM: "routine",
  ROUTINE: "routine",
  LOW: "routine",
};

function textOf(element: Element | undefined): string {
  const [first] = element?.Value ?? [];
  if (typeof first === "string") return first.trim();
  if (typeof first === "number") return String(first);
  const name = (first as { Alphabetic?: unknown } | undefined)?.Alphabetic;
  return typeof name === "string" ? name.trim() : "";
}

function dayOf(text: string): string | null {
  const parts = /^(\d{4})(\d{2})(\d{2})$/.exec(text);
  if (!parts) return null;
  const day = `${parts[1]}-${parts[2]}-${parts[3]}`;
  return Number.isNaN(Date.parse(day)) ? null : day;
}
