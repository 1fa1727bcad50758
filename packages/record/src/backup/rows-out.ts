import type { Kysely } from "kysely";
import type { Head } from "../custody/chain.ts";
import { currentHead } from "../custody/log.ts";
import { rowText } from "../custody/seal.ts";
import type { Library } from "../library.ts";
import type { Schema } from "../tables/schema.ts";
import { lineWriter } from "./lines.ts";
import type { Lines } from "./manifest.ts";
import type { Ref } from "./pieces.ts";
import type { BackupPlace } from "./place.ts";
import { KEPT_TABLES } from "./tables.ts";

const AT_ONCE = 1000;

/**
 * All rows of one moment, table by table in the order of their keys: each a line of canonical JSON, whose SHA-256
 * without its line feed is the seal that the custody log has of the row.
 */
export function rowsOut(
  library: Library,
  place: BackupPlace,
  known: ReadonlyMap<string, Ref>,
  tell: { readonly signal?: AbortSignal; readonly onRows: (rows: number) => void },
): Promise<{ readonly head: Head; readonly tables: Readonly<Record<string, Lines>> }> {
  return library.read
    .transaction()
    .setAccessMode("read only")
    .execute(async (snapshot) => {
      const db = snapshot as unknown as Kysely<Schema>;
      const head = await currentHead(db);
      const tables: Record<string, Lines> = {};
      let rows = 0;
      for (const [table, key] of Object.entries(KEPT_TABLES)) {
        const writer = lineWriter(place, known);
        for await (const page of pagesOf(db, table, key)) {
          tell.signal?.throwIfAborted();
          for (const row of page) await writer.add(String(row[key]), rowText(row));
          rows += page.length;
          tell.onRows(rows);
        }
        await writer.flush();
        tables[table] = { count: writer.count(), pieces: writer.refs };
      }
      return { head, tables };
    });
}

async function* pagesOf(db: Kysely<Schema>, table: string, key: string) {
  const loose = db as unknown as Kysely<Record<string, Record<string, string | number | null>>>;
  let after: string | number | undefined;
  for (;;) {
    const from = loose.selectFrom(table).selectAll().orderBy(key).limit(AT_ONCE);
    const page = await (after === undefined ? from : from.where(key, ">", after)).execute();
    const last = page.at(-1);
    if (last === undefined) return;
    yield page;
    after = last[key] as string | number;
  }
}
