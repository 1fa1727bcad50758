import assert from "node:assert/strict";
import { join } from "node:path";
import { DatabaseSync } from "node:sqlite";
import { test } from "node:test";
import { COMPUTED_TABLES, KEPT_TABLES } from "../../src/backup/tables.ts";
import { openLibrary } from "../../src/index.ts";
import { temporaryFolder } from "../support.ts";

test("every table of the database is backed up or can be computed from the others", async (t) => {
  const folder = join(await temporaryFolder(t), "library");
  await (await openLibrary(folder)).close();
  const database = new DatabaseSync(join(folder, "samescale.db"));
  const rows = database.prepare("select name from sqlite_schema where type = 'table'").all();
  database.close();
  const tables = rows
    .map(({ name }) => String(name))
    .filter((name) => !/^(sqlite_|kysely_|search_words)/.test(name));
  assert.deepEqual(tables.toSorted(), [...Object.keys(KEPT_TABLES), ...COMPUTED_TABLES].toSorted());
});
