import { SamescaleError } from "@samescale/errors";
import type { Kysely } from "kysely";
import { currentHead } from "../custody/log.ts";
import { fillTree } from "../custody/tree/fill.ts";
import type { Schema } from "../tables/schema.ts";
import type { Tables } from "../tables/tables.ts";
import { taken } from "./growing.ts";
import { linesOfPiece } from "./lines.ts";
import type { Manifest } from "./manifest.ts";
import { readPiece } from "./pieces.ts";
import type { BackupPlace } from "./place.ts";
import { KEPT_TABLES } from "./tables.ts";

export interface TellRows {
  readonly signal?: AbortSignal;
  readonly onRows: (done: number, of: number) => void;
}

/** Reads them all, so that rows which cannot be had are told before pictures are copied for hours. */
export async function rowsReadable(
  place: BackupPlace,
  { tables }: Manifest,
  signal?: AbortSignal,
): Promise<void> {
  const unknown = Object.keys(tables).filter((table) => !(table in KEPT_TABLES));
  if (unknown.length > 0) {
    throw new SamescaleError(
      "LIBRARY_NEWER",
      `The backup was made by a newer version of Samescale: it has ${unknown.join(", ")}, unknown here`,
      "Install the newer version.",
    );
  }
  for (const { pieces } of Object.values(tables)) {
    for (const ref of pieces) {
      signal?.throwIfAborted();
      await readPiece(place, ref);
    }
  }
}

/**
 * All rows in one transaction: tables hold either nothing or the whole log, whatever kills the run, and whoever else
 * looks there meanwhile. Rows that an earlier run brought stay.
 *
 * @throws SamescaleError BACKUP_INCOMPLETE; RESTORE_PLACE_TAKEN where somebody began another library there
 */
export async function rowsIn(
  place: BackupPlace,
  { tables, head }: Manifest,
  to: Tables,
  tell: TellRows,
): Promise<number> {
  const of = Object.values(tables).reduce((sum, { count }) => sum + count, 0);
  await to.db.transaction().execute(async (db) => {
    const there = await currentHead(db);
    if (there.sequence === head.sequence && there.hash === head.hash) return;
    if (there.sequence > 0) throw taken(to.name);
    let done = 0;
    for (const table of Object.keys(KEPT_TABLES)) {
      for (const ref of tables[table]?.pieces ?? []) {
        tell.signal?.throwIfAborted();
        const rows = await linesOfPiece<Row>(place, ref);
        await insertRows(db, table, rows);
        done += rows.length;
        tell.onRows(done, of);
      }
    }
    const found = await currentHead(db);
    if (found.sequence === head.sequence && found.hash === head.hash) return;
    throw new SamescaleError(
      "BACKUP_INCOMPLETE",
      `The backup's log ends with entry ${found.sequence}, its note says ${head.sequence}:${head.hash}`,
      "Take another copy of the backup, or an older backup.",
    );
  });
  await fillTree(to.db);
  return of;
}

/** As it was written: columns without a value left out. */
type Row = Readonly<Record<string, string | number>>;

/** A statement takes some thousand values at most. */
const VALUES_AT_ONCE = 6000;

async function insertRows(into: Kysely<Schema>, table: string, rows: readonly Row[]): Promise<void> {
  const db = into as unknown as Kysely<Record<string, Row>>;
  const columns = new Set(rows.flatMap((row) => Object.keys(row)));
  const atOnce = Math.max(1, Math.floor(VALUES_AT_ONCE / Math.max(columns.size, 1)));
  for (let at = 0; at < rows.length; at += atOnce) {
    await db
      .insertInto(table)
      .values(rows.slice(at, at + atOnce))
      .execute();
  }
}
