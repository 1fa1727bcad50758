import type { DatabaseSync } from "node:sqlite";
import { SamescaleError } from "@samescale/errors";
import { Kysely } from "kysely";
import { type MigrationProvider, Migrator } from "kysely/migration";
import type { WordIndex } from "../search/word-index.ts";
import { migrations } from "./migrations.ts";
import type { Schema } from "./schema.ts";
import { sqliteDialect } from "./sqlite/dialect.ts";
import {
  claim,
  openSqliteFile,
  ownerOf,
  type SqliteOptions,
  sqliteEngine,
  sqliteFaults,
} from "./sqlite/open.ts";

/** A database with the record's tables. */
export interface Tables {
  readonly db: Kysely<Schema>;
  readonly words: WordIndex;
  /** What the engine finds wrong with its own file, one sentence each. */
  engineFaults(): Promise<string[]>;
  close(): Promise<void>;
}

/**
 * Opens the tables in a SQLite file: made and brought to the present shape as needed, unless `readOnly`.
 *
 * @throws SamescaleError NOT_A_LIBRARY, LIBRARY_NEWER, LIBRARY_OLDER, LIBRARY_DAMAGED, FILE_NOT_PERMITTED
 */
export async function openSqlite(file: string, options: SqliteOptions): Promise<Tables> {
  const database = openSqliteFile(file, options);
  const db = new Kysely<Schema>({ dialect: sqliteDialect(() => database) });
  try {
    const owner = ownerOf(database, file);
    if (owner === "other" || (owner === "nobody" && options.readOnly)) throw notALibrary(file);
    await bringUpToDate(db, database, file, options.readOnly);
    return {
      db,
      words: sqliteEngine.words,
      engineFaults: () => sqliteFaults(db as unknown as Kysely<unknown>),
      close: () => db.destroy(),
    };
  } catch (thrown) {
    if (database.isOpen) database.close();
    throw thrown;
  }
}

async function bringUpToDate(
  db: Kysely<Schema>,
  database: DatabaseSync,
  file: string,
  readOnly: boolean,
): Promise<void> {
  const known = migrations(sqliteEngine);
  const done = migrationsIn(database);
  const unknown = done.filter((name) => !(name in known));
  if (unknown.length > 0) {
    throw new SamescaleError(
      "LIBRARY_NEWER",
      `${file} was last used with a newer version of Samescale: it has ${unknown.join(", ")}, unknown here`,
      "Install the newer version; nothing was changed.",
    );
  }
  if (Object.keys(known).every((name) => done.includes(name))) return;
  if (readOnly) {
    throw new SamescaleError(
      "LIBRARY_OLDER",
      `${file} has the shape of an older version of Samescale and was opened for reading only`,
      "Run any command that writes to it, such as `samescale take-in`, once.",
    );
  }
  claim(database);
  const provider: MigrationProvider = { getMigrations: async () => known };
  const { error } = await new Migrator({ db, provider }).migrateToLatest();
  if (error !== undefined) throw error;
}

/** Names of the migrations that made this database; none in a fresh one. */
function migrationsIn(database: DatabaseSync): string[] {
  const table = database.prepare("select 1 from sqlite_schema where name = 'kysely_migration'").get();
  if (table === undefined) return [];
  return database
    .prepare("select name from kysely_migration order by name")
    .all()
    .map((row) => String(row.name));
}

function notALibrary(file: string): SamescaleError {
  return new SamescaleError(
    "NOT_A_LIBRARY",
    `${file} is a database of another program`,
    "Name the folder of a Samescale library, or a new folder.",
  );
}
