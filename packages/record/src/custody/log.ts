import type { Kysely, Selectable, Transaction } from "kysely";
import type { ActTable, Schema } from "../tables/schema.ts";
import { canonicalJson, type Json } from "./canonical.ts";
import { EMPTY_HEAD, type Entry, follow, type Head, lineOf } from "./chain.ts";
import { addLeaf } from "./tree/nodes.ts";

/** Adds an entry and its leaf of the tree, in the transaction of the act that it tells of. */
export async function appendEntry(
  transaction: Transaction<Schema>,
  act: Omit<Entry, "sequence" | "previous" | "hash">,
): Promise<Entry> {
  const entry = follow(await currentHead(transaction), act);
  const row = { ...entry, details: canonicalJson(entry.details) };
  await transaction.insertInto("act").values(row).execute();
  await addLeaf(transaction, entry.sequence, lineOf(entry));
  return entry;
}

/** What the last entry says of itself; `verify` computes. */
export async function currentHead(db: Pick<Kysely<Schema>, "selectFrom">): Promise<Head> {
  const last = await db
    .selectFrom("act")
    .select(["sequence", "hash"])
    .orderBy("sequence", "desc")
    .limit(1)
    .executeTakeFirst();
  return last ?? EMPTY_HEAD;
}

/** Bounds memory; a log of a million acts is read in two thousand steps. */
const AT_ONCE = 500;

/** Every row of the log behind entry `from`, first to last, as an entry; as it lies there when it is none. */
export async function* entriesOf(
  db: Pick<Kysely<Schema>, "selectFrom">,
  from = -1,
): AsyncGenerator<Entry | unknown> {
  let after = from;
  for (;;) {
    const rows = await db
      .selectFrom("act")
      .selectAll()
      .where("sequence", ">", after)
      .orderBy("sequence")
      .limit(AT_ONCE)
      .execute();
    for (const row of rows) yield entryOfRow(row);
    const last = rows.at(-1);
    if (last === undefined) return;
    after = last.sequence;
  }
}

/** The line of an entry as it is exported; a row that is no entry comes as it lies there, and no check will pass it. */
export function exportedLine(entry: Entry | unknown): string {
  try {
    return lineOf(entry as Entry);
  } catch {
    return `${JSON.stringify(entry)}\n`;
  }
}

function entryOfRow(row: Selectable<ActTable>): Entry | unknown {
  try {
    const details = JSON.parse(row.details) as Entry["details"];
    return canonicalJson(details as Json) === row.details ? { ...row, details } : row;
  } catch {
    return row;
  }
}
