import type { ConsentAnswer, ConsentScope } from "@samescale/practice";
import type { Tables } from "../access/seeing.ts";
import { detailsOf } from "./answer-details.ts";

/** Whose answers: the patient's, whatever request they were given for; of a non-clinical request, everybody's. */
export interface Asked {
  readonly patientId: string | null;
  readonly requestId: string;
}

/** Everything that was ever answered, oldest first; also for use inside a transaction. */
export async function consentsFor(
  tables: Tables,
  { patientId, requestId }: Asked,
): Promise<readonly ConsentAnswer[]> {
  const rows = await tables
    .selectFrom("consent")
    .select(ANSWER_COLUMNS)
    .where((is) =>
      patientId === null
        ? is.and([is("patient_id", "is", null), is("request_id", "=", requestId)])
        : is("patient_id", "=", patientId),
    )
    .orderBy("given_at")
    .orderBy("id")
    .execute();
  return rows.map(answerOf);
}

/** What the rule needs of a row. */
export const ANSWER_COLUMNS = [
  "id",
  "scope",
  "answer",
  "capacity",
  "publication",
  "request_id",
  "frames",
  "given_at",
  "until",
  "withdrawn_at",
  "details",
] as const;

interface AnswerRow extends Pick<ConsentAnswer, "id" | "answer" | "capacity" | "publication" | "until"> {
  readonly scope: string;
  readonly request_id: string | null;
  readonly frames: string | null;
  readonly given_at: string;
  readonly withdrawn_at: string | null;
  readonly details: string;
}

export function answerOf(row: AnswerRow): ConsentAnswer {
  const { id, answer, capacity, publication, until } = row;
  return {
    id,
    scope: row.scope as ConsentScope,
    answer,
    capacity,
    person: detailsOf(row.details).person ?? null,
    publication,
    requestId: row.request_id,
    frames: row.frames === null ? null : (JSON.parse(row.frames) as string[]),
    givenAt: row.given_at,
    until,
    withdrawnAt: row.withdrawn_at,
  };
}
