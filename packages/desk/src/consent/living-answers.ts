import type { ConsentAnswer } from "@samescale/practice";
import type { Tables } from "../access/seeing.ts";
import { ANSWER_COLUMNS, answerOf } from "./answers-of.ts";

/** A yes that nobody has withdrawn, with what decides whether somebody has to ask again. */
export interface LivingAnswer extends ConsentAnswer {
  readonly givenBy: string;
  readonly details: string;
  /** Number of the patient, code of the request. */
  readonly patient: string | null;
  readonly request: string | null;
  readonly birthDate: string | null;
  readonly regained: readonly { readonly on: string; readonly assessedBy: string }[];
  /** Whether the patient has answered this question themselves from this day or moment on. */
  ownWordSince(from: string): boolean;
  /** Whether somebody has answered the same question later. */
  readonly isRenewed: boolean;
}

/** Those that somebody else gave for a patient, and those that end in this time. */
export async function livingAnswers(
  tables: Tables,
  { untilFrom, untilTo }: { readonly untilFrom: string; readonly untilTo: string },
): Promise<LivingAnswer[]> {
  const rows = await tables
    .selectFrom("consent")
    .leftJoin("patient", "patient.id", "consent.patient_id")
    .leftJoin("request", "request.id", "consent.request_id")
    .selectAll("consent")
    .select(["patient.number", "patient.birth_date", "request.code"])
    .where("consent.answer", "=", "given")
    .where("consent.withdrawn_at", "is", null)
    .where((is) =>
      is.or([
        is("consent.capacity", "in", ["best-interest", "parental-responsibility"]),
        is.and([is("consent.until", ">=", untilFrom), is("consent.until", "<=", untilTo)]),
      ]),
    )
    .orderBy("consent.id")
    .execute();
  const ofPatient = new Map<string, Promise<PatientsWord>>();
  const living: LivingAnswer[] = [];
  for (const row of rows) {
    const key = row.patient_id ?? `request/${row.request_id}`;
    const known = ofPatient.get(key) ?? wordOf(tables, row.patient_id, row.request_id);
    ofPatient.set(key, known);
    const { answers, regained } = await known;
    const answer = answerOf(row);
    const others = answers.filter((other) => other.id !== answer.id && isSameQuestion(other, answer));
    living.push({
      ...answer,
      givenBy: row.given_by,
      details: row.details,
      patient: row.number,
      request: row.code,
      birthDate: row.birth_date,
      regained,
      ownWordSince: (from) =>
        others.some(({ capacity, givenAt }) => capacity === "patient" && givenAt >= from),
      isRenewed: others.some(({ givenAt }) => givenAt > answer.givenAt),
    });
  }
  return living;
}

interface PatientsWord {
  readonly answers: readonly ConsentAnswer[];
  readonly regained: readonly { readonly on: string; readonly assessedBy: string }[];
}

async function wordOf(
  tables: Tables,
  patientId: string | null,
  requestId: string | null,
): Promise<PatientsWord> {
  let query = tables.selectFrom("consent").select(ANSWER_COLUMNS);
  query =
    patientId === null
      ? query.where("patient_id", "is", null).where("request_id", "=", requestId)
      : query.where("patient_id", "=", patientId);
  const answers = (await query.execute()).map(answerOf);
  if (patientId === null) return { answers, regained: [] };
  const regained = await tables
    .selectFrom("capacity")
    .select(["regained_on", "assessed_by"])
    .where("patient_id", "=", patientId)
    .orderBy("regained_on", "desc")
    .execute();
  return {
    answers,
    regained: regained.map(({ regained_on: on, assessed_by: assessedBy }) => ({ on, assessedBy })),
  };
}

/** Whether the other answer speaks of everything that this one speaks of. */
function isSameQuestion(other: ConsentAnswer, answer: ConsentAnswer): boolean {
  if (other.scope !== answer.scope || other.person !== answer.person) return false;
  if (other.publication !== null && other.publication !== answer.publication) return false;
  if (other.requestId !== null && other.requestId !== answer.requestId) return false;
  return other.frames === null || (answer.frames ?? ["*"]).every((id) => other.frames?.includes(id));
}
