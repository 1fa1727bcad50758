import type { Kysely } from "kysely";
import type { ReadonlyKysely } from "kysely/readonly";
import { chainChecker, EMPTY_HEAD, type Entry, type Head } from "../custody/chain.ts";
import { entriesOf, exportedLine } from "../custody/log.ts";
import { rowName, sealOf } from "../custody/seal.ts";
import type { Schema } from "../tables/schema.ts";
import { keyColumn, SEALED_TABLES, type SealedTable } from "../writing.ts";
import type { Fault, Findings, VerifyOptions } from "./report.ts";
import { type LogSays, replacedKey, signedHeadFindings, signedSizes } from "./signed-heads.ts";
import { treeChecker } from "./tree.ts";

export interface LogChecked extends Findings {
  readonly entries: number;
  readonly rows: number;
  readonly signedHeads: number;
  readonly timeStamps: number;
  readonly head: Head;
}

/** A head that the log has to reach, and what faults call it. */
export interface KeptHead {
  readonly head: Head;
  readonly called: string;
}

/**
 * The log's chain and tree, what was signed over them, and every row against the last seal that the log has of it. All
 * are read in one transaction, so that an intake going on beside cannot look like a fault.
 */
export function logAndRows(
  read: ReadonlyKysely<Schema>,
  heads: readonly KeptHead[],
  { signal, keptSigned }: VerifyOptions,
): Promise<LogChecked> {
  return read
    .transaction()
    .setAccessMode("read only")
    .execute(async (snapshot) => {
      const db = snapshot as unknown as Kysely<Schema>;
      const log = await checkLog(db, heads, await signedSizes(db, keptSigned), signal);
      const signed = await signedHeadFindings(db, log, keptSigned);
      const rows = await checkRows(db, log.seals, signal);
      return {
        entries: log.entries,
        rows: rows.rows,
        signedHeads: signed.signedHeads,
        timeStamps: signed.timeStamps,
        head: log.head,
        faults: [...log.faults, ...signed.faults, ...rows.faults],
        notes: signed.notes,
      };
    });
}

type Seals = Map<string, { readonly seal: string; readonly sequence: number }>;

async function checkLog(
  db: Kysely<Schema>,
  heads: readonly KeptHead[],
  sizes: ReadonlySet<number>,
  signal?: AbortSignal,
): Promise<LogSays & { seals: Seals; head: Head; faults: Fault[] }> {
  // A checker per head; the first reports the chain itself, the others only what concerns their head.
  const [first = chainChecker(null), ...others] = heads.map(({ head, called }) => chainChecker(head, called));
  const tree = treeChecker(db, sizes);
  const seals: Seals = new Map();
  const hashes = new Map([[0, EMPTY_HEAD.hash]]);
  const replaced = new Set<string>();
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
    await tree.next(exportedLine(entry), entry.sequence);
    if (sizes.has(entries)) hashes.set(entries, entry.hash);
    replaced.add(replacedKey(entry.act, entry.subject) ?? "");
    for (const [row, seal] of Object.entries(entry.details?.rows ?? {})) {
      seals.set(row, { seal: String(seal), sequence: entry.sequence });
    }
  }
  for (const checker of [first, ...others]) tell(checker.end());
  await tree.end();
  const all = [...faults.values(), ...tree.faults];
  return { entries, seals, hashes, replaced, roots: tree.roots, head: first.head, faults: all };
}

const AT_ONCE = 1000;

async function checkRows(
  db: Kysely<Schema>,
  seals: Seals,
  signal?: AbortSignal,
): Promise<{ rows: number; faults: Fault[] }> {
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
