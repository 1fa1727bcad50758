import { Kysely, sql } from "kysely";
import { postgresWords } from "../../search/postgres-words.ts";
import type { Database } from "../database.ts";
import type { Engine } from "../migrations/engine.ts";
import type { Schema } from "../schema.ts";
import { RecordPostgresDialect } from "./dialect.ts";
import { type PostgresPlace, sayPostgresPlace } from "./place.ts";
import { poolAt } from "./pool.ts";

/** How long a writer waits for those before it; several cards may end at once, each in seconds. */
const WAIT_FOR_LOCK_MS = 60_000;

/** The database as the record uses it; nothing is asked of the server yet. */
export function openPostgresDatabase(
  place: PostgresPlace,
  options: { readonly readOnly: boolean; readonly waitForLockMs?: number },
): Database {
  const { readOnly, waitForLockMs = WAIT_FOR_LOCK_MS } = options;
  const pool = poolAt(place, { readOnly, waitForLockMs });
  const db = new Kysely<Schema>({ dialect: new RecordPostgresDialect(pool) });
  const loose = db as unknown as Kysely<unknown>;
  return {
    db,
    name: sayPostgresPlace(place),
    engine: postgresEngine,
    owner: () => ownerOf(loose),
    claim: async () => {}, // the name of our first migration is the mark
    migrationsDone: () => migrationsIn(loose),
    faults: () => postgresFaults(loose),
    close: () => db.destroy(),
  };
}

async function ownerOf(db: Kysely<unknown>): Promise<"ours" | "nobody" | "other"> {
  if ((await migrationsIn(db)).includes("0001-first")) return "ours";
  const { rows } = await sql<{ n: number }>`select count(*) as n from pg_catalog.pg_tables
    where schemaname = current_schema() and tablename not like 'kysely_migration%'`.execute(db);
  return rows[0]?.n === 0 ? "nobody" : "other";
}

async function migrationsIn(db: Kysely<unknown>): Promise<string[]> {
  const there = await sql<{ n: string | null }>`select to_regclass('kysely_migration')::text as n`.execute(
    db,
  );
  if (there.rows[0]?.n == null) return [];
  const { rows } = await sql<{ name: string }>`select name from kysely_migration order by name`.execute(db);
  return rows.map((row) => row.name);
}

const REFUSE = "samescale_append_only";

const postgresEngine: Engine = {
  words: postgresWords,
  async appendOnly(db: Kysely<unknown>, table: string): Promise<void> {
    await sql`create or replace function ${sql.ref(REFUSE)}() returns trigger language plpgsql as
      $$ begin raise exception 'the custody log is append-only'; end $$`.execute(db);
    await sql`create trigger ${sql.ref(`${table}_append_only`)} before update or delete or truncate
      on ${sql.table(table)} for each statement execute function ${sql.ref(REFUSE)}()`.execute(db);
  },
};

/**
 * What can be seen of the server's own state: a server that does not wait for its disk, pages whose checksum was
 * wrong, unfinished indexes, a log that could be changed. References are enforced at every change.
 */
async function postgresFaults(db: Kysely<unknown>): Promise<string[]> {
  const faults: string[] = [];
  for (const setting of ["fsync", "full_page_writes"]) {
    const { rows } = await sql<{ value: string }>`select current_setting(${setting}) as value`.execute(db);
    if (rows[0]?.value !== "on") {
      faults.push(
        `the server runs with ${setting} off: a power cut may take away what was said to be stored`,
      );
    }
  }
  const pages = await sql<{ n: number | null }>`select checksum_failures as n from pg_stat_database
    where datname = current_database()`.execute(db);
  const wrong = pages.rows[0]?.n ?? 0;
  if (wrong > 0) faults.push(`the server found ${wrong} pages with a wrong checksum`);
  const indexes = await sql<{ name: string }>`select indexrelid::regclass::text as name from pg_index
    where not indisvalid`.execute(db);
  for (const { name } of indexes.rows) faults.push(`the index ${name} is not whole`);
  const open = await sql<{ name: string }>`select t.tablename as name from pg_tables t
    where t.schemaname = current_schema() and t.tablename in ('act', 'tree_node', 'signed_head', 'time_stamp')
    and not exists (select 1 from pg_trigger g where g.tgrelid = to_regclass(t.tablename)
      and g.tgname = t.tablename || '_append_only' and g.tgenabled = 'O')`.execute(db);
  for (const { name } of open.rows) {
    faults.push(`rows of ${name} could be changed: its trigger is missing or switched off`);
  }
  return faults;
}
