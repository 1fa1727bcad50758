import assert from "node:assert/strict";
import { writeFileSync } from "node:fs";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { DatabaseSync } from "node:sqlite";
import { test } from "node:test";
import { sql } from "kysely";
import { openSqlite } from "../../src/tables/tables.ts";
import { type TablesUnderTest, tablesContract } from "../contracts/tables-contract.ts";
import { temporaryFolder } from "../support.ts";

async function openSqliteUnderTest(): Promise<TablesUnderTest> {
  const folder = await mkdtemp(join(tmpdir(), "samescale-tables-"));
  const open = () => openSqlite(join(folder, "samescale.db"), { readOnly: false });
  const tables = await open();
  return {
    tables,
    again: open,
    async close() {
      await tables.close();
      await rm(folder, { recursive: true, force: true });
    },
  };
}

tablesContract("SQLite", openSqliteUnderTest);

test("SQLite: commits wait for the disk, readers do not wait for writers, references are enforced", async (t) => {
  const tables = await openSqlite(join(await temporaryFolder(t), "samescale.db"), { readOnly: false });
  const setting = async (name: string) =>
    Object.values(
      (await sql<Record<string, unknown>>`pragma ${sql.raw(name)}`.execute(tables.db)).rows[0] ?? {},
    )[0];
  assert.equal(await setting("journal_mode"), "wal");
  assert.equal(await setting("synchronous"), 2); // 2 is FULL (sqlite.org/pragma.html#pragma_synchronous)
  assert.equal(await setting("foreign_keys"), 1);
  await tables.close();
});

test("SQLite: a database of another program is refused and left alone", async (t) => {
  const file = join(await temporaryFolder(t), "samescale.db");
  const other = new DatabaseSync(file);
  other.exec("create table song (title text)");
  other.close();
  await assert.rejects(openSqlite(file, { readOnly: false }), { code: "NOT_A_LIBRARY" });
  const after = new DatabaseSync(file);
  assert.deepEqual(
    after
      .prepare("select name from sqlite_schema")
      .all()
      .map((row) => row.name),
    ["song"],
  );
  after.close();
});

test("SQLite: a library of a newer version is refused by name of what is new", async (t) => {
  const file = join(await temporaryFolder(t), "samescale.db");
  await (await openSqlite(file, { readOnly: false })).close();
  const newer = new DatabaseSync(file);
  newer.exec("insert into kysely_migration values ('9999-holograms', '2031-01-01')");
  newer.close();
  await assert.rejects(openSqlite(file, { readOnly: false }), {
    code: "LIBRARY_NEWER",
    message: /9999-holograms/,
  });
  await assert.rejects(openSqlite(file, { readOnly: true }), { code: "LIBRARY_NEWER" });
});

test("SQLite: a fresh or half-made database is not taken for a library when only read", async (t) => {
  const file = join(await temporaryFolder(t), "samescale.db");
  writeFileSync(file, "");
  await assert.rejects(openSqlite(file, { readOnly: true }), { code: "NOT_A_LIBRARY" });
});

test("SQLite: bytes that are no database, and one with torn pages, are called damaged", async (t) => {
  const folder = await temporaryFolder(t);
  const noDatabase = join(folder, "a.db");
  writeFileSync(
    noDatabase,
    "this is a text, not a database, and longer than a header of a hundred bytes. ".repeat(20),
  );
  await assert.rejects(openSqlite(noDatabase, { readOnly: false }), { code: "LIBRARY_DAMAGED" });
  await assert.rejects(openSqlite(noDatabase, { readOnly: true }), { code: "LIBRARY_DAMAGED" });
});

test("SQLite: a lock that another program holds too long is named", async (t) => {
  const file = join(await temporaryFolder(t), "samescale.db");
  const tables = await openSqlite(file, { readOnly: false, waitForLockMs: 50 });
  const other = new DatabaseSync(file);
  other.exec("begin immediate");
  const blocked = tables.db.transaction().execute(async () => {});
  await assert.rejects(blocked, { code: "LIBRARY_BUSY" });
  other.exec("rollback");
  other.close();
  await tables.db.transaction().execute(async () => {});
  await tables.close();
});
