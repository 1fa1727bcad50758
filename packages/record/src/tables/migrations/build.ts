import type { CreateTableBuilder, Kysely } from "kysely";

/** A table whose key is an id. */
export function table(db: Kysely<unknown>, name: string): CreateTableBuilder<string, "id"> {
  return db.schema.createTable(name).addColumn("id", "text", (c) => c.primaryKey().notNull());
}

/** A plain index, named after what it is of. */
export async function index(db: Kysely<unknown>, of: string, columns: string[]): Promise<void> {
  await db.schema
    .createIndex(`${of}_by_${columns.join("_")}`)
    .on(of)
    .columns(columns)
    .execute();
}
