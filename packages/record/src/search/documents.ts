import type { Kysely } from "kysely";
import type { FoundKind } from "../tables/rows/search.ts";
import type { Schema } from "../tables/schema.ts";
import { type RequestRow, requestFacets, requestWords } from "./request-words.ts";
import { facetTerm, wordsOf, wordsOfNumber } from "./words.ts";

/** What can be found of one patient, request or frame. */
export interface SearchDocument {
  readonly kind: FoundKind;
  readonly id: string;
  readonly requestId: string | null;
  /** When: lists are in this order. */
  readonly time: string;
  readonly words: readonly string[];
  readonly facets: Facets;
}

export type Facets = Readonly<Record<string, readonly string[]>>;

type Db = Pick<Kysely<Schema>, "selectFrom">;

export async function patientDocuments(db: Db, ids: readonly string[]): Promise<SearchDocument[]> {
  const rows = await db.selectFrom("patient").selectAll().where("id", "in", ids).execute();
  return rows.map((row) => ({
    kind: "patient",
    id: row.id,
    requestId: null,
    time: row.made_at,
    words: [...wordsOf(row.name), ...wordsOfNumber(row.number), ...wordsOf(row.authority)],
    facets: { born: row.birth_date === null ? [] : [row.birth_date, row.birth_date.slice(0, 7)] },
  }));
}

export async function requestDocuments(db: Db, ids: readonly string[]): Promise<SearchDocument[]> {
  const rows = await requests(db).where("request.id", "in", ids).execute();
  return rows.map((row) => ({
    kind: "request",
    id: row.request_id,
    requestId: row.request_id,
    time: row.made_at,
    words: requestWords(row),
    facets: { ...requestFacets(row), state: [row.state], priority: listOf(row.priority) },
  }));
}

/** What frames and requests show of a request and its patient. */
const requests = (db: Db) =>
  db
    .selectFrom("request")
    .leftJoin("patient", "patient.id", "request.patient_id")
    .select([
      "request.id as request_id",
      "request.code",
      "request.kind",
      "request.state",
      "request.priority",
      "request.sensitive",
      "request.access",
      "request.requester_id",
      "request.external",
      "request.details",
      "request.made_at",
      "patient.name as patient_name",
      "patient.number as patient_number",
    ]);

export async function frameDocuments(db: Db, ids: readonly string[]): Promise<SearchDocument[]> {
  const frames = await db
    .selectFrom("frame")
    .innerJoin("intake", "intake.id", "frame.intake_id")
    .select(["frame.id", "frame.folder", "frame.name", "frame.kind", "frame.request_id", "frame.taken_at"])
    .select(["frame.visit_id", "frame.sensitive", "frame.trashed_at", "intake.begun_at"])
    .where("frame.id", "in", ids)
    .execute();
  const requestIds = [...new Set(frames.flatMap((frame) => listOf(frame.request_id)))];
  const ofRequest = new Map<string, RequestRow>();
  for (const row of requestIds.length > 0
    ? await requests(db).where("request.id", "in", requestIds).execute()
    : [])
    ofRequest.set(row.request_id, row);
  const files = grouped(
    await db.selectFrom("file").select(["frame_id", "name", "kind"]).where("frame_id", "in", ids).execute(),
  );
  const [verdicts, readings] = [await bodiesOf(db, "verdict", ids), await bodiesOf(db, "reading", ids)];
  const measured = grouped(
    await db.selectFrom("measurement").select("frame_id").where("frame_id", "in", ids).execute(),
  );
  return frames.map((frame) => {
    const request = frame.request_id === null ? undefined : ofRequest.get(frame.request_id);
    const own = files.get(frame.id) ?? [];
    const verdict = objectOf(verdicts.get(frame.id)?.at(-1)?.body ?? null);
    const reading = readings.get(frame.id)?.at(-1)?.body;
    const view = [verdict.view, verdict.viewName].filter((each) => typeof each === "string");
    return {
      kind: frame.trashed_at === null ? "frame" : "trash",
      id: frame.id,
      requestId: frame.request_id,
      time: frame.taken_at ?? frame.begun_at,
      words: [
        ...(request ? requestWords(request) : []),
        ...wordsOf(view.join(" ")),
        ...wordsOfNumber(frame.name),
        ...wordsOf(frame.folder),
        ...own.flatMap((file) => wordsOf(file.name)),
      ],
      facets: {
        ...(request ? requestFacets(request) : { sensitive: [] }),
        ...(frame.sensitive === null ? {} : { sensitive: textsOf(frame.sensitive) }),
        placed: [request ? "placed" : "unplaced"],
        frame: [own.some((file) => file.kind === "video") ? "video" : frame.kind],
        view: view.slice(0, 1),
        verdict: typeof verdict.verdict === "string" ? [verdict.verdict] : [],
        visit: listOf(frame.visit_id),
        checked: [typeof verdict.verdict === "string" ? "checked" : "not-checked"],
        scale: [
          reading === undefined ? "not-looked" : objectOf(reading).found === true ? "read" : "not-found",
        ],
        measured: [measured.has(frame.id) ? "measured" : "not-measured"],
      },
    };
  });
}

/** Everything that the index holds of a document, as words: the kind, the facets, whose it is, the text. */
export function termsOf(document: SearchDocument): string[] {
  const { kind, facets, words } = document;
  const chosen = Object.entries(facets).flatMap(([facet, values]) =>
    values.map((value) => facetTerm(facet, value)),
  );
  return [...new Set([facetTerm("kind", kind), ...chosen, ...words])];
}

/** What a person chooses from; the other facets say whose it is, or name too many. */
const SHOWN = [
  "job",
  "state",
  "priority",
  "part",
  "side",
  "view",
  "requester",
  "place",
  "purpose",
  "sensitive",
  "placed",
  "frame",
  "verdict",
  "checked",
  "scale",
  "measured",
];

/** The facets that are counted, as the index keeps them: JSON, each value once. */
export function shownFacets({ facets }: SearchDocument): string {
  const shown = SHOWN.flatMap((facet) => {
    const values = [...new Set(facets[facet] ?? [])];
    return values.length === 0 ? [] : [[facet, values] as const];
  });
  return JSON.stringify(Object.fromEntries(shown));
}

/** Of each frame in the order in which they were made: the last counts. */
const bodiesOf = async (db: Db, table: "verdict" | "reading", ids: readonly string[]) =>
  grouped(
    await db
      .selectFrom(table)
      .select(["frame_id", "body"])
      .where("frame_id", "in", ids)
      .orderBy("id")
      .execute(),
  );

export const listOf = (value: string | null | undefined): string[] => (value == null ? [] : [value]);

function grouped<Row extends { frame_id: string | null }>(rows: readonly Row[]): Map<string, Row[]> {
  const groups = new Map<string, Row[]>();
  for (const row of rows) {
    const group = groups.get(row.frame_id ?? "");
    if (group) group.push(row);
    else groups.set(row.frame_id ?? "", [row]);
  }
  return groups;
}

/** JSON that a row holds as an object; empty when it is none: search must not fail over one row. */
export function objectOf(json: string | null): Readonly<Record<string, unknown>> {
  try {
    const value: unknown = JSON.parse(json ?? "{}");
    return typeof value === "object" && value !== null ? (value as Record<string, unknown>) : {};
  } catch {
    return {};
  }
}

/** JSON that a row holds as a list of texts. */
export function textsOf(json: string | null): string[] {
  const value = objectOf(json);
  return Array.isArray(value) ? value.filter((each) => typeof each === "string") : [];
}
