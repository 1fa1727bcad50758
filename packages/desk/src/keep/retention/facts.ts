import type { RetentionFacts } from "@samescale/practice";
import type { Tables } from "../../access/seeing.ts";

/** A request, and what the rules of retention ask of it. */
export interface RequestFacts extends RetentionFacts {
  readonly requestId: string;
  readonly code: string;
  readonly patientId: string | null;
  readonly frameIds: readonly string[];
}

/** Null: there is no such request. */
export async function factsOf(tables: Tables, requestId: string): Promise<RequestFacts | null> {
  const request = await tables
    .selectFrom("request")
    .leftJoin("patient", "patient.id", "request.patient_id")
    .select(["request.id", "request.code", "request.kind", "request.patient_id", "request.details"])
    .select(["request.sensitive", "patient.birth_date"])
    .where("request.id", "=", requestId)
    .executeTakeFirst();
  if (!request) return null;
  const frames = await tables
    .selectFrom("frame")
    .select(["id", "sensitive"])
    .where("request_id", "=", requestId)
    .execute();
  const { purpose = null } = JSON.parse(request.details) as { purpose?: string };
  const marked = [request.sensitive, ...frames.map(({ sensitive }) => sensitive)];
  const evidence =
    marked.some((categories) => categories?.includes('"evidence"')) ||
    (await wentOutAsEvidence(tables, requestId, request.patient_id));
  return {
    requestId,
    code: request.code,
    patientId: request.patient_id,
    kind: request.kind,
    birthDate: request.birth_date,
    purpose,
    evidence,
    lastVisitOn: await lastVisitOn(tables, requestId, request.patient_id),
    frameIds: frames.map(({ id }) => id),
  };
}

/** Released as evidence, or with a legal basis for it. */
async function wentOutAsEvidence(
  tables: Tables,
  requestId: string,
  patientId: string | null,
): Promise<boolean> {
  const released = await tables
    .selectFrom("release")
    .select("id")
    .where("request_id", "=", requestId)
    .where("scope", "=", "evidence")
    .executeTakeFirst();
  if (released) return true;
  const based = await tables
    .selectFrom("consent")
    .select("id")
    .where("scope", "=", "evidence")
    .where("answer", "=", "given")
    .where((is) =>
      is.or([
        is("request_id", "=", requestId),
        is.and([is("request_id", "is", null), is("patient_id", "=", patientId ?? "")]),
      ]),
    )
    .executeTakeFirst();
  return based !== undefined;
}

/** The last day on which anything happened: of the patient, else of the request itself. The latest of what is known. */
async function lastVisitOn(tables: Tables, requestId: string, patientId: string | null): Promise<string> {
  const requests = await tables
    .selectFrom("request")
    .select(["id", "made_at"])
    .where((is) => (patientId === null ? is("id", "=", requestId) : is("patient_id", "=", patientId)))
    .execute();
  const ids = requests.map(({ id }) => id);
  const visit = await tables
    .selectFrom("visit")
    .select((of) => of.fn.max("date").as("day"))
    .where("request_id", "in", ids)
    .executeTakeFirst();
  const frame = await tables
    .selectFrom("frame")
    .select((of) => of.fn.max("taken_at").as("at"))
    .where("request_id", "in", ids)
    .where("clock", "=", "plausible")
    .executeTakeFirst();
  const days = [visit?.day, frame?.at, ...requests.map(({ made_at }) => made_at)];
  return days
    .map((day) => (day ?? "").slice(0, 10))
    .toSorted()
    .at(-1) as string;
}
