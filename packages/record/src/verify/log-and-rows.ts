import type { Kysely } from "kysely";
import type { ReadonlyKysely } from "kysely/readonly";
import { chainChecker, type Entry, type Head } from "../custody/chain.ts";
import { entriesOf } from "../custody/log.ts";
import { rowName, sealOf } from "../custody/seal.ts";
import type { Schema } from "../tables/schema.ts";
import { keyColumn, SEALED_TABLES, type SealedTable } from "../writing.ts";
import type { Fault } from "./report.ts";

export interface LogChecked {
  readonly entries: number;
  readonly rows: number;
  readonly head: Head;
  readonly faults: readonly Fault[];
}

/**
 * The log's chain, and every row against the last seal that the log has of it. Both are read in one
 * transaction, so that an intake going on beside cannot look like a fault.
 */
export function logAndRows(
  read: ReadonlyKysely<Schema>,
  heads: readonly Head[],
  signal?: AbortSignal,
): Promise<LogChecked> {
  return read
    .transaction()
    .setAccessMode("read only")
    .execute(async (snapshot) => {
      const db = snapshot as unknown as Kysely<Schema>;
      const log = await checkLog(db, heads, signal);
      const rows = await checkRows(db, log.seals, signal);
      return {
        entries: log.entries,
        rows: rows.rows,
        head: log.head,
        faults: [...log.faults, ...rows.faults],
      };
    });
}

async function checkLog(db: Kysely<Schema>, heads: readonly Head[], signal?: AbortSignal) {
  // A checker per head; the first reports the chain itself, the others only what concerns their head.
  const [first = chainChecker(null), ...others] = heads.map((head) => chainChecker(head));
  const seals = new Map<string, { readonly seal: string; readonly sequence: number }>();
  const faults = new Map<string, Fault>();
  const tell = (found: readonly { sequence: number; fault: string }[]) => {
    for (const { sequence, fault } of found) {
      faults.set(`${sequence} ${fault}`, { where: "log", subject: `entry ${sequence}`, fault });
    }
  };
  let entries = 0;
  for await (const candidate of entriesOf(db)) {
    signal?.throwIfAborted();
    entries++;
    for (const checker of [first, ...others]) tell(checker.next(candidate));
    const entry = candidate as Entry;
    for (const [row, seal] of Object.entries(entry.details?.rows ?? {})) {
      seals.set(row, { seal: String(seal), sequence: entry.sequence });
    }
  }
  for (const checker of [first, ...others]) tell(checker.end());
  return { entries, seals, head: first.head, faults: [...faults.values()] };
}

const AT_ONCE = 1000;

async function checkRows(
  db: Kysely<Schema>,
  seals: Map<string, { readonly seal: string; readonly sequence: number }>,
  signal?: AbortSignal,
) {
  const faults: Fault[] = [];
  let rows = 0;
  for (const table of SEALED_TABLES) {
    for await (const row of rowsOf(db, table)) {
      signal?.throwIfAborted();
      rows++;
      const name = rowName(table, String(row[keyColumn(table)]));
      const logged = seals.get(name);
      seals.delete(name);
      const seal = sealOf(row);
      if (logged === undefined) {
        faults.push({ where: "row", subject: name, fault: "the log knows nothing of this row" });
      } else if (logged.seal !== seal) {
        const fault = `was changed without an act: entry ${logged.sequence} sealed ${logged.seal}, now ${seal}`;
        faults.push({ where: "row", subject: name, fault });
      }
    }
  }
  for (const [name, { sequence }] of seals) {
    faults.push({ where: "row", subject: name, fault: `is gone: entry ${sequence} wrote it` });
  }
  return { rows, faults };
}

async function* rowsOf(db: Kysely<Schema>, table: SealedTable): AsyncGenerator<Record<string, unknown>> {
  const loose = db as unknown as Kysely<Record<string, Record<string, string>>>;
  const key = keyColumn(table);
  let after = "";
  for (;;) {
    const rows = await loose
      .selectFrom(table)
      .selectAll()
      .where(key, ">", after)
      .orderBy(key)
      .limit(AT_ONCE)
      .execute();
    yield* rows;
    const last = rows.at(-1)?.[key];
    if (last === undefined) return;
    after = last;
  }
}
