import { SamescaleError } from "@samescale/errors";
import type { Insertable, Kysely, Transaction, Updateable } from "kysely";
import type { ReadonlyKysely } from "kysely/readonly";
import { rowName, sealOf } from "./custody/seal.ts";
import type { Schema } from "./tables/schema.ts";

/** Tables whose rows the custody log seals: all but the log and what is computed or signed over it. */
export type SealedTable = Exclude<
  keyof Schema,
  "act" | "tree_node" | "signed_head" | "search_document" | "search_state"
>;

export const SEALED_TABLES: readonly SealedTable[] = [
  "patient",
  "request",
  "plan",
  "visit",
  "intake",
  "card_file",
  "frame",
  "file",
  "reading",
  "outline",
  "measurement",
  "series",
  "verdict",
  "picture",
  "mask",
  "copy",
  "consent",
  "portrayed",
  "capacity",
  "research_project",
  "release",
  "release_item",
  "access_grant",
  "hold",
  "person",
  "session",
  "signing_key",
  "time_stamp",
];

/** A file's key is its hash, every other row's is its id. */
export const keyColumn = (table: SealedTable): "id" | "sha256" => (table === "file" ? "sha256" : "id");

/** The only way to change a row: what was touched is remembered, so that the log can seal it. */
export interface Writing {
  /** Sees what this act has written so far. */
  readonly tables: ReadonlyKysely<Schema>;
  insert<T extends SealedTable>(table: T, row: Insertable<Schema[T]>): Promise<void>;
  update<T extends SealedTable>(table: T, key: string, values: Updateable<Schema[T]>): Promise<void>;
}

/** Which table it is does not matter here; the typed signatures above have checked row and values. */
type Loose = Record<string, Record<string, string | number | null>>;

export function writingIn(transaction: Transaction<Schema>): {
  readonly writing: Writing;
  /** Seals of all rows touched, as they are now. */
  seals(): Promise<Record<string, string>>;
} {
  const loose = transaction as unknown as Kysely<Loose>;
  const touched = new Map<string, { table: SealedTable; key: string }>();
  const touch = (table: SealedTable, key: string) => touched.set(rowName(table, key), { table, key });
  const writing: Writing = {
    tables: transaction as unknown as ReadonlyKysely<Schema>,
    async insert(table, row) {
      const values = row as unknown as Loose[string];
      await loose.insertInto(table).values(values).execute();
      touch(table, String(values[keyColumn(table)]));
    },
    async update(table, key, values) {
      const { numUpdatedRows } = await loose
        .updateTable(table as string)
        .set(values as unknown as Loose[string])
        .where(keyColumn(table), "=", key)
        .executeTakeFirstOrThrow();
      if (numUpdatedRows !== 1n) {
        throw new SamescaleError(
          "ROW_MISSING",
          `There is no ${table} ${key}`,
          "Check the id; it may belong to another library.",
        );
      }
      touch(table, key);
    },
  };
  return {
    writing,
    async seals() {
      const seals: Record<string, string> = {};
      for (const [name, { table, key }] of touched) {
        const row = await loose
          .selectFrom(table)
          .selectAll()
          .where(keyColumn(table), "=", key)
          .executeTakeFirstOrThrow();
        seals[name] = sealOf(row);
      }
      return seals;
    },
  };
}
