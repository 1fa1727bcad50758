import { type RequestDetails, titleOf } from "@samescale/practice";
import type { FoundKind } from "@samescale/record";
import type { Tables } from "../access/seeing.ts";

/** What a list shows of something that was found. */
export interface FoundRow {
  readonly id: string;
  /** Name, code or camera file name. */
  readonly name: string;
  readonly patient: {
    readonly name: string;
    readonly number: string;
    readonly birthDate: string | null;
  } | null;
  readonly request: { readonly code: string; readonly title: string; readonly state: string } | null;
  /** When it was made: local time of a frame, day of anything else. */
  readonly at: string | null;
}

/** In the order of the ids. */
export async function rowsOf(tables: Tables, kind: FoundKind, ids: readonly string[]): Promise<FoundRow[]> {
  if (ids.length === 0) return [];
  const rows = await QUERIES[kind](tables, ids);
  const byId = new Map(rows.map((row) => [row.id, row]));
  return ids.flatMap((id) => {
    const row = byId.get(id);
    return row === undefined ? [] : [shown(row)];
  });
}

interface Row {
  readonly id: string;
  readonly name: string;
  readonly at: string | null;
  readonly patient_name: string | null;
  readonly number: string | null;
  readonly birth_date: string | null;
  readonly code: string | null;
  readonly state: string | null;
  readonly details: string | null;
}

const shown = (row: Row): FoundRow => ({
  id: row.id,
  name: row.name,
  patient:
    row.patient_name === null || row.number === null
      ? null
      : { name: row.patient_name, number: row.number, birthDate: row.birth_date },
  request:
    row.code === null ? null : { code: row.code, title: titleIn(row.details), state: row.state ?? "open" },
  at: row.at,
});

function titleIn(details: string | null): string {
  const said = JSON.parse(details ?? "{}") as Partial<RequestDetails>;
  return titleOf({ ...said, parts: said.parts ?? [] } as RequestDetails);
}

const framesIn = async (tables: Tables, ids: readonly string[]): Promise<Row[]> =>
  tables
    .selectFrom("frame")
    .leftJoin("request", "request.id", "frame.request_id")
    .leftJoin("patient", "patient.id", "request.patient_id")
    .select(["frame.id", "frame.name", "frame.taken_at as at", "patient.name as patient_name"])
    .select(["patient.number", "patient.birth_date", "request.code", "request.state", "request.details"])
    .where("frame.id", "in", ids)
    .execute();

const QUERIES: Readonly<Record<FoundKind, (tables: Tables, ids: readonly string[]) => Promise<Row[]>>> = {
  frame: framesIn,
  trash: framesIn,
  request: async (tables, ids) => {
    const rows = await tables
      .selectFrom("request")
      .leftJoin("patient", "patient.id", "request.patient_id")
      .select(["request.id", "request.code", "request.state", "request.details", "request.made_at as at"])
      .select(["patient.name as patient_name", "patient.number", "patient.birth_date"])
      .where("request.id", "in", ids)
      .execute();
    return rows.map((row) => ({ ...row, name: row.code }));
  },
  patient: async (tables, ids) => {
    const rows = await tables
      .selectFrom("patient")
      .select(["id", "name", "number", "birth_date", "made_at as at"])
      .where("id", "in", ids)
      .execute();
    return rows.map((row) => ({ ...row, patient_name: row.name, code: null, state: null, details: null }));
  },
};
