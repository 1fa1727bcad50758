import { type RequestDetails, requestDetailsOf } from "@samescale/practice";
import { isSensitiveCategory, keptSensitive, type SensitiveCategory } from "../access/sensitive.ts";
import { isDay } from "../act/checks.ts";
import type { ActContext } from "../act/define-act.ts";
import { jsonText } from "../act/json.ts";
import { isRequestCode } from "../intake/label-code.ts";

export const PRIORITIES = ["routine", "urgent", "asap", "stat"] as const;
export type Priority = (typeof PRIORITIES)[number];

/** A patient as the referral, the wristband or the patient says. */
export interface PatientSaid {
  readonly number: string;
  /** Who gave the number. */
  readonly authority: string;
  readonly name: string | null;
  /** YYYY-MM-DD. */
  readonly birthDate: string | null;
}

export interface NewRequest {
  /** Printed on the shot card; made when not given. */
  readonly code?: string;
  /** Null only for non-clinical requests, and where `patient` says who it is. */
  readonly patientId: string | null;
  /** Who it is, as somebody has it in front of them: two identifiers have to agree, or it is a new patient. */
  readonly patient?: PatientSaid | null;
  readonly kind: "clinical" | "non-clinical";
  /** YYYY-MM-DD. */
  readonly dueDate?: string | null;
  readonly priority?: Priority | null;
  /** Why few may see it: said with the request, so that there is no moment in which others do. */
  readonly sensitive?: readonly SensitiveCategory[];
  /** Who asked, when that is a person with an account here. */
  readonly requesterId?: string | null;
  /** Name of the order in the system that it came from. */
  readonly external?: { readonly system: string; readonly value: string } | null;
  /** As `requestDetailsOf` takes them. */
  readonly details?: unknown;
}

/** What a request that is to be written comes to; or why it cannot be written. */
export async function checkedRequest(
  request: NewRequest,
  id: string,
  { tables }: ActContext,
): Promise<{ readonly code: string; readonly details: RequestDetails } | { readonly refused: string }> {
  const code = request.code ?? `R-${id.slice(-8)}`;
  const { patientId, kind, dueDate = null, sensitive = [] } = request;
  if (!isRequestCode(code)) {
    return { refused: `Expected a code of 1 to 32 capitals, digits and hyphens, received ${code}` };
  }
  if (kind === "clinical" && patientId === null && !request.patient)
    return { refused: "A clinical request needs a patient" };
  if (dueDate !== null && !isDay(dueDate)) {
    return { refused: `Expected a day such as 2026-03-15, received ${dueDate}` };
  }
  const read = requestDetailsOf(request.details);
  if ("faults" in read) return { refused: `The request cannot be kept: ${read.faults.join("; ")}` };
  if (kind === "clinical" && read.details.occasion !== undefined) {
    return { refused: "An occasion (portrait, event, room, equipment) belongs to a non-clinical request" };
  }
  const unknown = sensitive.find((one) => !isSensitiveCategory(one));
  if (unknown !== undefined) return { refused: `There is no category ${JSON.stringify(unknown)}` };
  if (patientId !== null) {
    const patient = await tables
      .selectFrom("patient")
      .select("id")
      .where("id", "=", patientId)
      .executeTakeFirst();
    if (!patient) return { refused: `There is no patient ${patientId}` };
  }
  const known = await tables.selectFrom("request").select("id").where("code", "=", code).executeTakeFirst();
  if (known) return { refused: `The code ${code} is already that of request ${known.id}` };
  return { code, details: read.details };
}

/** How an order's name is kept: the same order again is the same text. */
export const externalText = ({ system, value }: { readonly system: string; readonly value: string }) =>
  `${system}|${value}`;

/** Writes a checked request as an open one. */
export async function writeRequest(
  request: NewRequest,
  id: string,
  { code, details }: { readonly code: string; readonly details: RequestDetails },
  { writing, now }: ActContext,
): Promise<void> {
  await writing.insert("request", {
    id,
    code,
    patient_id: request.patientId,
    kind: request.kind,
    due_date: request.dueDate ?? null,
    state: "open",
    priority: request.priority ?? null,
    sensitive: keptSensitive(request.sensitive ?? []),
    requester_id: request.requesterId ?? null,
    external: request.external ? externalText(request.external) : null,
    details: jsonText(details),
    made_at: now,
  });
}
