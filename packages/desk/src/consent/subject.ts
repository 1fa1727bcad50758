import type { Tables } from "../access/seeing.ts";
import type { Subject } from "./giver.ts";

/** What the answer is for. */
export type AnsweredFor =
  /** Pictures of this request. On a non-clinical one, `person` says who of those portrayed answers. */
  | { readonly requestId: string; readonly person?: string }
  /** All pictures of this patient, those that come later as well. */
  | { readonly patientId: string };

export interface AnsweringSubject extends Subject {
  readonly patientId: string | null;
  readonly requestId: string | null;
}

/** Who is asked, from the library; or one sentence why that cannot be. */
export async function subjectOf(
  tables: Tables,
  of: AnsweredFor,
  frames: readonly string[] | undefined,
): Promise<AnsweringSubject | { readonly refused: string }> {
  if ("patientId" in of) {
    if (frames !== undefined) return { refused: "Pictures are named together with their request" };
    return patientOf(tables, of.patientId, null);
  }
  const { requestId, person } = of;
  const request = await tables
    .selectFrom("request")
    .select("patient_id")
    .where("id", "=", requestId)
    .executeTakeFirst();
  if (!request) return { refused: `There is no request ${requestId}` };
  if (frames !== undefined) {
    if (frames.length === 0) return { refused: "No picture was named" };
    const strange = await framesElsewhere(tables, requestId, frames);
    if (strange.length > 0) return { refused: `Not of this request: ${strange.join(", ")}` };
  }
  if (request.patient_id !== null) {
    if (person !== undefined) return { refused: "On a patient's request the patient is asked" };
    return patientOf(tables, request.patient_id, requestId);
  }
  const portrayed = await tables
    .selectFrom("portrayed")
    .select("name")
    .where("request_id", "=", requestId)
    .where("name", "=", person ?? "")
    .where("void_because", "is", null)
    .executeTakeFirst();
  if (portrayed) {
    return { patientId: null, requestId, name: portrayed.name, birthDate: null, isPatient: false };
  }
  return {
    refused: "Say who of those portrayed answers; somebody who is not named yet has to be named first",
  };
}

async function patientOf(
  tables: Tables,
  patientId: string,
  requestId: string | null,
): Promise<AnsweringSubject | { readonly refused: string }> {
  const patient = await tables
    .selectFrom("patient")
    .select(["name", "birth_date"])
    .where("id", "=", patientId)
    .executeTakeFirst();
  if (!patient) return { refused: `There is no patient ${patientId}` };
  return { patientId, requestId, name: patient.name, birthDate: patient.birth_date, isPatient: true };
}

async function framesElsewhere(
  tables: Tables,
  requestId: string,
  frames: readonly string[],
): Promise<string[]> {
  const here = await tables
    .selectFrom("frame")
    .select("id")
    .where("request_id", "=", requestId)
    .where("id", "in", frames)
    .execute();
  const known = new Set(here.map(({ id }) => id));
  return frames.filter((id) => !known.has(id));
}
