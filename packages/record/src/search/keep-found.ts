import type { Transaction } from "kysely";
import type { Schema } from "../tables/schema.ts";
import {
  frameDocuments,
  patientDocuments,
  requestDocuments,
  type SearchDocument,
  shownFacets,
  termsOf,
} from "./documents.ts";
import { freeKeys, isKeyOf } from "./key.ts";
import type { WordIndex } from "./word-index.ts";

/** Which shape of documents and terms this version makes; raised with every change of it. */
export const SEARCH_FORM = 2;
export const STATE_ROW = "index";

/** A row that an act wrote, as the log names it. */
export interface TouchedRow {
  readonly table: string;
  readonly key: string;
}

/** The rows of an entry, from its seals. */
export const touchedRows = (seals: Readonly<Record<string, unknown>>): TouchedRow[] =>
  Object.keys(seals).map((name) => {
    const [table = "", key = ""] = name.split("/", 2);
    return { table, key };
  });

/**
 * Follows one act, in its transaction: what it wrote can be found the moment it is committed. An index that is behind
 * stays so, until the next search has it brought up to date (catch-up.ts).
 */
export async function followAct(
  db: Transaction<Schema>,
  index: WordIndex,
  sequence: number,
  touched: readonly TouchedRow[],
): Promise<void> {
  const state = await db
    .selectFrom("search_state")
    .selectAll()
    .where("id", "=", STATE_ROW)
    .executeTakeFirst();
  if (state === undefined && sequence === 1) {
    await db.insertInto("search_state").values({ id: STATE_ROW, form: SEARCH_FORM, sequence }).execute();
    return;
  }
  if (state?.form !== SEARCH_FORM || state.sequence !== sequence - 1) return;
  await indexRows(db, index, touched);
  await db.updateTable("search_state").set({ sequence }).where("id", "=", STATE_ROW).execute();
}

/** Makes the documents of these rows anew, and (unless they stand alone) of what shows something of them. */
export async function indexRows(
  db: Transaction<Schema>,
  index: WordIndex,
  touched: readonly TouchedRow[],
  options: { readonly alone?: boolean } = {},
): Promise<void> {
  const { patients, requests, frames } = await shownIn(db, touched, options.alone === true);
  for (const ids of batches(patients)) await putAll(db, index, await patientDocuments(db, ids));
  for (const ids of batches(requests)) await putAll(db, index, await requestDocuments(db, ids));
  for (const ids of batches(frames)) await putAll(db, index, await frameDocuments(db, ids));
}

/** Bounds memory and the length of a statement. */
const AT_ONCE = 400;

export function* batches<T>(items: readonly T[]): Generator<readonly T[]> {
  for (let at = 0; at < items.length; at += AT_ONCE) yield items.slice(at, at + AT_ONCE);
}

/** What is shown of a frame: its verdict, whether its scale was read, whether it was measured. */
const OF_A_FRAME = ["verdict", "reading", "measurement"] as const;

/** A patient's name stands in the documents of their requests and frames; a file's name in that of its frame. */
async function shownIn(db: Transaction<Schema>, touched: readonly TouchedRow[], alone: boolean) {
  const keysOf = (table: string) => touched.filter((row) => row.table === table).map((row) => row.key);
  const patients = keysOf("patient");
  const requests = new Set(keysOf("request"));
  const frames = new Set(keysOf("frame"));
  if (alone) return { patients, requests: [...requests], frames: [...frames] };
  for (const ids of batches(patients)) {
    const rows = await db.selectFrom("request").select("id").where("patient_id", "in", ids).execute();
    for (const { id } of rows) requests.add(id);
  }
  for (const ids of batches([...requests])) {
    const rows = await db.selectFrom("frame").select("id").where("request_id", "in", ids).execute();
    for (const { id } of rows) frames.add(id);
  }
  for (const ids of batches(keysOf("file"))) {
    const rows = await db.selectFrom("file").select("frame_id").where("sha256", "in", ids).execute();
    for (const { frame_id } of rows) if (frame_id !== null) frames.add(frame_id);
  }
  for (const table of OF_A_FRAME) {
    for (const ids of batches(keysOf(table))) {
      const rows = await db.selectFrom(table).select("frame_id").where("id", "in", ids).execute();
      for (const { frame_id } of rows) if (frame_id !== null) frames.add(frame_id);
    }
  }
  return { patients, requests: [...requests], frames: [...frames] };
}

/** A document keeps its key as long as its moment stays: a list that somebody is paging through does not jump. */
async function putAll(
  db: Transaction<Schema>,
  index: WordIndex,
  documents: readonly SearchDocument[],
): Promise<void> {
  if (documents.length === 0) return;
  const ids = documents.map(({ id }) => id);
  const known = await db.selectFrom("search_document").select(["id", "key"]).where("id", "in", ids).execute();
  if (known.length > 0) {
    await db.deleteFrom("search_document").where("id", "in", ids).execute();
    await index.remove(
      db,
      known.map(({ key }) => key),
    );
  }
  const keyOfId = new Map(known.map(({ id, key }) => [id, key]));
  const stays = ({ id, time }: SearchDocument) => isKeyOf(keyOfId.get(id) ?? -1, time);
  // Of one moment by their ids: an engine gives rows in no order of its own.
  const moving = documents.filter((document) => !stays(document)).sort((a, b) => (a.id < b.id ? -1 : 1));
  const staying = documents.filter(stays);
  await insertAll(
    db,
    index,
    staying,
    staying.map(({ id }) => keyOfId.get(id) ?? -1),
  );
  await insertAll(
    db,
    index,
    moving,
    await freeKeys(
      db,
      moving.map(({ time }) => time),
    ),
  );
}

async function insertAll(
  db: Transaction<Schema>,
  index: WordIndex,
  documents: readonly SearchDocument[],
  keys: readonly number[],
): Promise<void> {
  if (documents.length === 0) return;
  const keyed = documents.map((document, at) => ({ document, key: keys[at] as number }));
  const rows = keyed.map(({ key, document }) => {
    const { kind, id, requestId } = document;
    return { key, kind, id, request_id: requestId, facets: shownFacets(document) };
  });
  await db.insertInto("search_document").values(rows).execute();
  await index.put(
    db,
    keyed.map(({ key, document }) => ({ key, terms: termsOf(document) })),
  );
}
