import type { DatabaseSync, SQLInputValue } from "node:sqlite";
import {
  CompiledQuery,
  type DatabaseConnection,
  type Dialect,
  type Driver,
  type QueryResult,
  SqliteAdapter,
  SqliteIntrospector,
  SqliteQueryCompiler,
  type TransactionSettings,
} from "kysely";
import { asTablesError } from "./faults.ts";

/** Kysely over the SQLite that Node carries: no native module, one connection, one statement at a time. */
export function sqliteDialect(open: () => DatabaseSync): Dialect {
  return {
    createDriver: () => new SqliteDriver(open),
    createQueryCompiler: () => new SqliteQueryCompiler(),
    createAdapter: () => new TransactionalSqliteAdapter(),
    createIntrospector: (db) => new SqliteIntrospector(db),
  };
}

/** SQLite rolls table changes back like any other, so a migration that is killed leaves nothing half-made. */
class TransactionalSqliteAdapter extends SqliteAdapter {
  override get supportsTransactionalDdl(): boolean {
    return true;
  }
}

class SqliteDriver implements Driver {
  readonly #open: () => DatabaseSync;
  #connection: SqliteConnection | undefined;

  constructor(open: () => DatabaseSync) {
    this.#open = open;
  }

  async init(): Promise<void> {
    this.#connection = new SqliteConnection(this.#open());
  }

  // Kysely lends the one connection to one borrower at a time (its adapter says there is only one).
  async acquireConnection(): Promise<DatabaseConnection> {
    return this.#connection as SqliteConnection;
  }

  /**
   * A writer takes the write lock at once: two processes that read first and then both wanted to write would
   * otherwise refuse each other instead of waiting.
   */
  async beginTransaction(connection: DatabaseConnection, settings: TransactionSettings): Promise<void> {
    const begin = settings.accessMode === "read only" ? "begin" : "begin immediate";
    await connection.executeQuery(CompiledQuery.raw(begin));
  }

  async commitTransaction(connection: DatabaseConnection): Promise<void> {
    await connection.executeQuery(CompiledQuery.raw("commit"));
  }

  async rollbackTransaction(): Promise<void> {
    this.#connection?.rollback();
  }

  async releaseConnection(): Promise<void> {}

  async destroy(): Promise<void> {
    this.#connection?.close();
  }
}

class SqliteConnection implements DatabaseConnection {
  readonly #database: DatabaseSync;

  constructor(database: DatabaseSync) {
    this.#database = database;
  }

  async executeQuery<R>(query: CompiledQuery): Promise<QueryResult<R>> {
    const parameters = query.parameters as readonly SQLInputValue[];
    try {
      const statement = this.#database.prepare(query.sql);
      if (statement.columns().length > 0) return { rows: statement.all(...parameters) as R[] };
      const { changes } = statement.run(...parameters);
      return { rows: [], numAffectedRows: BigInt(changes) };
    } catch (thrown) {
      throw asTablesError(thrown, this.#database.location() ?? "the database");
    }
  }

  async *streamQuery<R>(query: CompiledQuery): AsyncIterableIterator<QueryResult<R>> {
    const rows = this.#database.prepare(query.sql).iterate(...(query.parameters as readonly SQLInputValue[]));
    for (const row of rows) yield { rows: [row as R] };
  }

  /** A full disk makes SQLite roll back by itself; then there is nothing left to roll back. */
  rollback(): void {
    if (this.#database.isTransaction) this.#database.exec("rollback");
  }

  close(): void {
    this.#database.close();
  }
}
