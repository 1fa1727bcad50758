import { SamescaleError } from "@samescale/errors";
import type { Kysely } from "kysely";
import { type MigrationProvider, Migrator } from "kysely/migration";
import type { WordIndex } from "../search/word-index.ts";
import type { Database } from "./database.ts";
import { migrations } from "./migrations.ts";
import type { PostgresPlace } from "./postgres/place.ts";
import type { Schema } from "./schema.ts";
import { openSqliteDatabase, type SqliteOptions } from "./sqlite/open.ts";
import { shapeFaults } from "./sqlite/shape-faults.ts";

/** A database with the record's tables. */
export interface Tables {
  readonly db: Kysely<Schema>;
  /** For messages: the file, or server and database. */
  readonly name: string;
  readonly words: WordIndex;
  /** What the engine finds wrong with its own database, one sentence each. */
  engineFaults(): Promise<string[]>;
  close(): Promise<void>;
}

/**
 * Opens the tables in a SQLite file: made and brought to the present shape as needed, unless `readOnly`.
 *
 * @throws SamescaleError NOT_A_LIBRARY, LIBRARY_NEWER, LIBRARY_OLDER, LIBRARY_DAMAGED, FILE_NOT_PERMITTED
 */
export async function openSqlite(file: string, options: SqliteOptions): Promise<Tables> {
  const tables = await tablesIn(openSqliteDatabase(file, options), options.readOnly);
  return {
    ...tables,
    engineFaults: async () => [...(await tables.engineFaults()), ...(await shapeOf(tables))],
  };
}

/** The shape that the migrations give to a fresh database is the one that this must have. */
async function shapeOf({ db }: Tables): Promise<string[]> {
  const fresh = await tablesIn(openSqliteDatabase(":memory:", { readOnly: false }), false);
  try {
    return await shapeFaults(db as unknown as Kysely<unknown>, fresh.db as unknown as Kysely<unknown>);
  } finally {
    await fresh.close();
  }
}

/**
 * The same in a PostgreSQL database. Its driver is loaded only here: a library in one folder never needs it.
 *
 * @throws SamescaleError as `openSqlite`, and TABLES_UNREACHABLE, TABLES_LOGIN_REFUSED, TABLES_NOT_PERMITTED
 */
export async function openPostgres(
  place: PostgresPlace,
  options: { readonly readOnly: boolean; readonly waitForLockMs?: number },
): Promise<Tables> {
  const { openPostgresDatabase } = await import("./postgres/open.ts");
  return tablesIn(openPostgresDatabase(place, options), options.readOnly);
}

async function tablesIn(database: Database, readOnly: boolean): Promise<Tables> {
  try {
    const owner = await database.owner();
    if (owner === "other" || (owner === "nobody" && readOnly)) throw notALibrary(database.name);
    await bringUpToDate(database, readOnly);
    const { db, name, engine } = database;
    return {
      db,
      name,
      words: engine.words,
      engineFaults: () => database.faults(),
      close: () => database.close(),
    };
  } catch (thrown) {
    await database.close();
    throw thrown;
  }
}

async function bringUpToDate(database: Database, readOnly: boolean): Promise<void> {
  const known = migrations(database.engine);
  const done = await database.migrationsDone();
  const unknown = done.filter((name) => !(name in known));
  if (unknown.length > 0) {
    throw new SamescaleError(
      "LIBRARY_NEWER",
      `${database.name} was last used with a newer version of Samescale: it has ${unknown.join(", ")}, unknown here`,
      "Install the newer version; nothing was changed.",
    );
  }
  if (Object.keys(known).every((name) => done.includes(name))) return;
  if (readOnly) {
    throw new SamescaleError(
      "LIBRARY_OLDER",
      `${database.name} has the shape of an older version of Samescale and was opened for reading only`,
      "Run any command that writes to it, such as `samescale take-in`, once.",
    );
  }
  await database.claim();
  const provider: MigrationProvider = { getMigrations: async () => known };
  const { error } = await new Migrator({ db: database.db, provider }).migrateToLatest();
  if (error !== undefined) throw error;
}

function notALibrary(name: string): SamescaleError {
  return new SamescaleError(
    "NOT_A_LIBRARY",
    `${name} is a database of another program`,
    "Name the folder of a Samescale library, or a new folder and an empty database.",
  );
}
