import {
  ColumnDefinitionNode,
  CompiledQuery,
  type DatabaseConnection,
  type DataTypeNode,
  PostgresDialect,
  PostgresDriver,
  type PostgresPool,
  PostgresQueryCompiler,
  type TransactionSettings,
} from "kysely";

/** Kysely over PostgreSQL, with what the record needs of an engine: one writer at a time, one order of text. */
export class RecordPostgresDialect extends PostgresDialect {
  readonly #pool: PostgresPool;

  constructor(pool: PostgresPool) {
    super({ pool });
    this.#pool = pool;
  }

  override createDriver(): PostgresDriver {
    return new OneWriterDriver({ pool: this.#pool });
  }

  override createQueryCompiler(): PostgresQueryCompiler {
    return new CodePointCompiler();
  }
}

/** "SAME" in ASCII; advisory locks count per database, so another program's lock elsewhere is not ours. */
const WRITERS_LOCK = 0x53414d45;

type OwnConnection = Parameters<PostgresDriver["rollbackTransaction"]>[0];

class OneWriterDriver extends PostgresDriver {
  /**
   * Acts are written one after another, as with SQLite: an entry of the log follows the one before it, and two that
   * both read the same end would fork the chain. The lock is taken before the first look at a table, so each act
   * sees all that the one before it wrote. Readers wait for nobody and see one moment.
   */
  override async beginTransaction(
    connection: DatabaseConnection,
    settings: TransactionSettings,
  ): Promise<void> {
    if (settings.accessMode === "read only") {
      return super.beginTransaction(connection, { ...settings, isolationLevel: "repeatable read" });
    }
    await super.beginTransaction(connection, settings);
    try {
      await connection.executeQuery(CompiledQuery.raw(`select pg_advisory_xact_lock(${WRITERS_LOCK})`));
    } catch (thrown) {
      await this.rollbackTransaction(connection as OwnConnection);
      throw thrown;
    }
  }

  /** Where the connection broke there is nothing to roll back, and what broke it is the fault to be told. */
  override async rollbackTransaction(connection: OwnConnection): Promise<void> {
    await super.rollbackTransaction(connection).catch(() => {});
  }
}

/** Text sorts by code point, as in SQLite: a department's language must not decide how a chain or a list is read. */
class CodePointCompiler extends PostgresQueryCompiler {
  protected override visitDataType(node: DataTypeNode): void {
    super.visitDataType(node);
    const isColumn = this.parentNode !== undefined && ColumnDefinitionNode.is(this.parentNode);
    if (isColumn && node.dataType === "text") this.append(' collate "C"');
  }
}
