import { existsSync } from "node:fs";
import { resolve } from "node:path";
import { DatabaseSync } from "node:sqlite";
import { pathToFileURL } from "node:url";
import { Kysely, sql } from "kysely";
import { sqliteWords } from "../../search/sqlite-words.ts";
import type { Database } from "../database.ts";
import type { Engine } from "../migrations/engine.ts";
import type { Schema } from "../schema.ts";
import { sqliteDialect } from "./dialect.ts";
import { asTablesError } from "./faults.ts";

/** "SAME": marks a database file as ours (SQLite header, application id). */
const APPLICATION_ID = 0x53414d45;

/** How long a writer waits for another one; the longest act, placing a card's frames, takes well under a second. */
const WAIT_FOR_LOCK_MS = 15_000;

export interface SqliteOptions {
  readonly readOnly: boolean;
  readonly waitForLockMs?: number;
}

/**
 * Opens the database file, made when missing.
 *
 * - WAL: readers do not wait for the writer, and the writer does not wait for them.
 * - synchronous FULL: a commit is on the disk before it is reported. NORMAL would be faster, but after a power
 *   cut it may forget the last commits, and a card may have been erased on their word.
 * - foreign keys are enforced: node:sqlite switches that on.
 *
 * @throws SamescaleError LIBRARY_DAMAGED, FILE_NOT_PERMITTED, LIBRARY_BUSY
 */
function openSqliteFile(file: string, options: SqliteOptions): DatabaseSync {
  const timeout = options.waitForLockMs ?? WAIT_FOR_LOCK_MS;
  try {
    return options.readOnly ? openForReading(file, timeout) : openForWriting(file, timeout);
  } catch (thrown) {
    throw asTablesError(thrown, file);
  }
}

/** The engine's own 2 MB make an index over 100,000 frames a third slower and more beyond; what a small library needs stays small. */
const CACHE_KIB = 64 * 1024;

function openForWriting(file: string, timeout: number): DatabaseSync {
  const database = new DatabaseSync(file, { timeout });
  database.exec("pragma journal_mode = wal");
  database.exec("pragma synchronous = full");
  database.exec(`pragma cache_size = ${-CACHE_KIB}`);
  return database;
}

/** Readers of a WAL database need to write beside it, unless they are told that nobody changes it. */
function openForReading(file: string, timeout: number): DatabaseSync {
  const database = new DatabaseSync(file, { timeout, readOnly: true });
  try {
    database.prepare("select count(*) from sqlite_schema").get();
    return database;
  } catch (thrown) {
    database.close();
    if (existsSync(`${file}-wal`)) throw thrown;
    const untouched = pathToFileURL(resolve(file));
    untouched.searchParams.set("immutable", "1");
    return new DatabaseSync(untouched, { readOnly: true });
  }
}

/** The database file as the record uses it. @throws SamescaleError as `openSqliteFile` */
export function openSqliteDatabase(file: string, options: SqliteOptions): Database {
  const database = openSqliteFile(file, options);
  const db = new Kysely<Schema>({ dialect: sqliteDialect(() => database) });
  return {
    db,
    name: file,
    engine: sqliteEngine,
    owner: async () => ownerOf(database, file),
    async claim() {
      database.exec(`pragma application_id = ${APPLICATION_ID}`);
    },
    migrationsDone: async () => migrationsIn(database),
    faults: () => sqliteFaults(db as unknown as Kysely<unknown>),
    async close() {
      await db.destroy();
      if (database.isOpen) database.close(); // Kysely closes only what it was asked to use
    },
  };
}

function ownerOf(database: DatabaseSync, file: string): "ours" | "nobody" | "other" {
  try {
    const { application_id } = database.prepare("pragma application_id").get() as { application_id: number };
    if (application_id === APPLICATION_ID) return "ours";
    const { n } = database.prepare("select count(*) as n from sqlite_schema").get() as { n: number };
    return n === 0 && application_id === 0 ? "nobody" : "other";
  } catch (thrown) {
    throw asTablesError(thrown, file);
  }
}

function migrationsIn(database: DatabaseSync): string[] {
  const table = database.prepare("select 1 from sqlite_schema where name = 'kysely_migration'").get();
  if (table === undefined) return [];
  return database
    .prepare("select name from kysely_migration order by name")
    .all()
    .map((row) => String(row.name));
}

const sqliteEngine: Engine = {
  words: sqliteWords,
  async appendOnly(db: Kysely<unknown>, table: string): Promise<void> {
    for (const change of ["update", "delete"]) {
      await sql`create trigger ${sql.ref(`${table}_no_${change}`)} before ${sql.raw(change)} on ${sql.table(table)}
        begin select raise(abort, 'the custody log is append-only'); end`.execute(db);
    }
  },
};

/** What the engine itself says of its file: broken pages, indexes that disagree, references that lead nowhere. */
async function sqliteFaults(db: Kysely<unknown>): Promise<string[]> {
  const pages = await sql<{ integrity_check: string }>`pragma integrity_check`.execute(db);
  const references = await sql<{
    table: string;
    rowid: number;
    parent: string;
  }>`pragma foreign_key_check`.execute(db);
  return [
    ...pages.rows.map((row) => row.integrity_check).filter((text) => text !== "ok"),
    ...references.rows.map(
      (row) => `row ${row.rowid} of ${row.table} refers to a ${row.parent} that is not there`,
    ),
  ];
}
