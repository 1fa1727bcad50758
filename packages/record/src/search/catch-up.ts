import type { Kysely } from "kysely";
import { currentHead } from "../custody/log.ts";
import type { Schema } from "../tables/schema.ts";
import { indexRows, SEARCH_FORM, STATE_ROW, type TouchedRow, touchedRows } from "./keep-found.ts";
import type { WordIndex } from "./word-index.ts";

export interface CatchUpProgress {
  readonly rows: number;
  readonly ofRows: number;
}

export interface CatchUpOptions {
  /** Begin with nothing, also where the index seems sound. */
  readonly again?: boolean;
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: CatchUpProgress) => void;
}

const TABLES = ["patient", "request", "frame"] as const;
const PAGE = 2000;

/**
 * `missing`: there is none, or one of another shape, or it tells of acts that this log does not have (an older
 * database was put back).
 */
async function stateOf(db: Pick<Kysely<Schema>, "selectFrom">): Promise<"missing" | "behind" | "up to date"> {
  const state = await db
    .selectFrom("search_state")
    .selectAll()
    .where("id", "=", STATE_ROW)
    .executeTakeFirst();
  const head = await currentHead(db);
  if (state?.form !== SEARCH_FORM || state.sequence > head.sequence) return "missing";
  return state.sequence < head.sequence ? "behind" : "up to date";
}

/** Whether everything that the log tells of can be found. */
export const isUpToDate = async (db: Pick<Kysely<Schema>, "selectFrom">): Promise<boolean> =>
  (await stateOf(db)) === "up to date";

/**
 * Brings the index to where the log is: from the log when it is only behind, from the tables when it is missing or to be
 * made again. Acts may go on beside it; each step is a transaction of its own, and a run that is killed is begun
 * again by the next one.
 */
export async function catchUp(
  db: Kysely<Schema>,
  index: WordIndex,
  options: CatchUpOptions = {},
): Promise<void> {
  if (options.again === true || (await stateOf(db)) === "missing") await buildAll(db, index, options);
  while ((await stateOf(db)) === "behind") await followLog(db, index, options);
}

async function buildAll(db: Kysely<Schema>, index: WordIndex, options: CatchUpOptions): Promise<void> {
  const from = await db.transaction().execute(async (transaction) => {
    await transaction.deleteFrom("search_state").execute();
    await transaction.deleteFrom("search_document").execute();
    await index.clear(transaction as never);
    return currentHead(transaction);
  });
  const counts = await Promise.all(TABLES.map((table) => countOf(db, table)));
  const ofRows = counts.reduce((sum, n) => sum + n, 0);
  let rows = 0;
  for (const table of TABLES) {
    for (let after = ""; ; ) {
      options.signal?.throwIfAborted();
      const page = await db
        .selectFrom(table)
        .select("id")
        .where("id", ">", after)
        .orderBy("id")
        .limit(PAGE)
        .execute();
      const last = page.at(-1);
      if (last === undefined) break;
      after = last.id;
      await db.transaction().execute((transaction) =>
        indexRows(
          transaction,
          index,
          page.map(({ id }) => ({ table, key: id })),
          { alone: true },
        ),
      );
      rows += page.length;
      options.onProgress?.({ rows, ofRows });
    }
  }
  await db.transaction().execute(async (transaction) => {
    await transaction.deleteFrom("search_state").execute(); // another run may have come to its end beside this one
    await transaction
      .insertInto("search_state")
      .values({ id: STATE_ROW, form: SEARCH_FORM, sequence: from.sequence })
      .execute();
  });
}

/** The next few entries of the log behind the last one that was followed. */
async function followLog(db: Kysely<Schema>, index: WordIndex, options: CatchUpOptions): Promise<void> {
  options.signal?.throwIfAborted();
  await db.transaction().execute(async (transaction) => {
    const state = await transaction
      .selectFrom("search_state")
      .select("sequence")
      .where("id", "=", STATE_ROW)
      .executeTakeFirstOrThrow();
    const rows = await transaction
      .selectFrom("act")
      .select(["sequence", "details"])
      .where("sequence", ">", state.sequence)
      .orderBy("sequence")
      .limit(500)
      .execute();
    const touched = new Map<string, TouchedRow>();
    for (const { details } of rows) {
      const { rows: seals = {} } = JSON.parse(details) as { rows?: Record<string, string> };
      for (const row of touchedRows(seals)) touched.set(`${row.table}/${row.key}`, row);
    }
    await indexRows(transaction, index, [...touched.values()]);
    const sequence = rows.at(-1)?.sequence ?? state.sequence;
    await transaction.updateTable("search_state").set({ sequence }).where("id", "=", STATE_ROW).execute();
  });
}

async function countOf(db: Kysely<Schema>, table: (typeof TABLES)[number]): Promise<number> {
  const { n } = await db
    .selectFrom(table)
    .select((of) => of.fn.countAll<number>().as("n"))
    .executeTakeFirstOrThrow();
  return Number(n);
}
