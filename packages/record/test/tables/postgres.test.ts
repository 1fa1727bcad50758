import assert from "node:assert/strict";
import { createServer } from "node:net";
import { after, test } from "node:test";
import { inspect } from "node:util";
import { type PostgresPlace, postgresPlace } from "../../src/tables/postgres/place.ts";
import { openPostgres, type Tables } from "../../src/tables/tables.ts";
import { type TablesUnderTest, tablesContract } from "../contracts/tables-contract.ts";
import { POSTGRES_ABSENT, type PostgresServer, startPostgres, TABLES_PASSWORD } from "../servers/postgres.ts";

const started = await startPostgres();
after(() => started?.stop());

const WRITING = { readOnly: false };

if (started === null) test("tables in PostgreSQL", (t) => t.skip(POSTGRES_ABSENT));
else {
  tablesContract("PostgreSQL", () => openPostgresUnderTest(started));
  ownTests(started);
}

async function openPostgresUnderTest(server: PostgresServer): Promise<TablesUnderTest> {
  const place = postgresPlace(await server.freshDatabase(), null);
  const open = () => openPostgres(place, WRITING);
  const tables = await open();
  return { tables, again: open, close: () => tables.close() };
}

function ownTests(server: PostgresServer): void {
  const databaseOf = (address: string) => new URL(address).pathname.slice(1);
  const opened = async (address: string, more: { readOnly?: boolean; waitForLockMs?: number } = {}) =>
    openPostgres(postgresPlace(address, null), { ...WRITING, ...more });
  const addEntry = (tables: Tables, sequence: number) =>
    tables.db.transaction().execute((transaction) =>
      transaction
        .insertInto("act")
        .values({
          ...{
            sequence,
            time: "2026-03-15T09:00:00.000Z",
            actor: "a",
            act: "x",
            subject: "s",
            details: "{}",
          },
          ...{ previous: "0", hash: String(sequence) },
        })
        .execute(),
    );

  test("PostgreSQL: opened by three at once, a fresh database is made once", async () => {
    const address = await server.freshDatabase();
    const all = await Promise.all([opened(address), opened(address), opened(address)]);
    for (const tables of all) assert.deepEqual(await tables.engineFaults(), []);
    for (const tables of all) await tables.close();
  });

  test("PostgreSQL: a database of another program is refused and left alone", async () => {
    const address = await server.freshDatabase();
    await server.query(databaseOf(address), "create table song (title text)");
    await assert.rejects(opened(address), { code: "NOT_A_LIBRARY" });
    const left = await server.query(
      databaseOf(address),
      "select tablename from pg_tables where schemaname = 'public'",
    );
    assert.deepEqual(left, [{ tablename: "song" }]);
  });

  test("PostgreSQL: a newer library is refused, a fresh database is none when only read, reading cannot write", async () => {
    const address = await server.freshDatabase();
    await assert.rejects(opened(address, { readOnly: true }), { code: "NOT_A_LIBRARY" });
    await (await opened(address)).close();
    const reading = await opened(address, { readOnly: true });
    await assert.rejects(addEntry(reading, 1), { code: "TABLES_NOT_PERMITTED" });
    await reading.close();
    await server.query(databaseOf(address), "insert into kysely_migration values ('9999-holograms', '2031')");
    await assert.rejects(opened(address), { code: "LIBRARY_NEWER", message: /9999-holograms/ });
  });

  test("PostgreSQL: what another holds locked too long is named, and the next act goes on", async () => {
    const tables = await opened(await server.freshDatabase(), { waitForLockMs: 100 });
    const other = await tables.db.startTransaction().execute();
    await assert.rejects(addEntry(tables, 1), { code: "LIBRARY_BUSY" });
    await other.rollback().execute();
    await addEntry(tables, 1);
    await tables.close();
  });

  test("PostgreSQL: killed in the middle of an act, nothing of it stays; started again, the same program goes on", async () => {
    const tables = await opened(await server.freshDatabase());
    await addEntry(tables, 1);
    const act = tables.db.transaction().execute(async (transaction) => {
      await transaction.deleteFrom("frame").execute();
      server.kill();
      await transaction.selectFrom("frame").selectAll().execute();
    });
    await assert.rejects(act, { code: "TABLES_UNREACHABLE" });
    const starting = server.start();
    await addEntry(tables, 2); // waits for the server
    await starting;
    assert.equal((await tables.db.selectFrom("act").selectAll().execute()).length, 2);
    await tables.close();
  });

  test("PostgreSQL: a log that could be changed and a server that may lose commits are named", async () => {
    const address = await server.freshDatabase();
    const tables = await opened(address);
    await server.query(databaseOf(address), "alter table act disable trigger act_append_only");
    await server.query("postgres", "alter system set full_page_writes = off");
    await server.query("postgres", "select pg_reload_conf()");
    try {
      const begun = performance.now();
      let faults: string[] = [];
      while (faults.length < 2 && performance.now() - begun < 5000) faults = await tables.engineFaults();
      assert.match(faults[0] ?? "", /full_page_writes off/);
      assert.match(faults[1] ?? "", /rows of act could be changed/);
    } finally {
      await server.query("postgres", "alter system reset full_page_writes");
      await server.query("postgres", "select pg_reload_conf()");
      await tables.close();
    }
  });

  test("PostgreSQL: who is not let in is told so, and no fault ever holds the password", async (t) => {
    const address = server.overTcp(await server.freshDatabase());
    const right = postgresPlace(address, TABLES_PASSWORD);
    await (await openPostgres(right, WRITING)).close();
    const nobody = createServer((socket) => socket.destroy());
    await new Promise<void>((resolve) => nobody.listen(0, "127.0.0.1", resolve));
    t.after(() => nobody.close());
    const { port } = nobody.address() as { port: number };
    const secret = `wrong-${TABLES_PASSWORD}`;
    const wrong = { ...right, password: secret };
    const faults: readonly [string, Partial<PostgresPlace>][] = [
      ["TABLES_LOGIN_REFUSED", wrong],
      ["TABLES_LOGIN_REFUSED", { ...right, password: null }],
      ["TABLES_LOGIN_REFUSED", { ...right, database: "none" }],
      ["TABLES_UNREACHABLE", { ...wrong, port: 1 }],
      ["TABLES_UNREACHABLE", { ...wrong, port }],
      ["TABLES_UNREACHABLE", { ...wrong, host: "nobody.invalid" }],
      ["TABLES_NOT_SECURE", { ...wrong, tls: "verify" }],
    ];
    for (const [code, place] of faults) {
      const fault = await openPostgres({ ...right, ...place }, WRITING).then(
        () => assert.fail(`expected ${code}`),
        (thrown) => thrown,
      );
      assert.equal(fault.code, code, inspect(fault));
      assert.ok(!inspect(fault, { depth: 9, showHidden: true }).includes(TABLES_PASSWORD));
    }
  });
}

test("an address of tables: what each part says, and over a network the server must prove who it is", () => {
  const place = postgresPlace("postgresql://mara%20k@db.hospital.example/samescale", "secret");
  assert.deepEqual(place, {
    host: "db.hospital.example",
    port: 5432,
    database: "samescale",
    user: "mara k",
    password: "secret",
    tls: "verify",
    authorityFile: null,
  });
  assert.equal(postgresPlace("postgresql://a@[::1]:5433/b", null).tls, "plain");
  assert.equal(postgresPlace("postgresql://a@x/b?host=/run/postgresql", null).host, "/run/postgresql");
  assert.equal(postgresPlace("postgresql://a@x/b?sslmode=require", null).tls, "encrypt");
});

test("a wrong address of tables is refused without repeating it", () => {
  const password = "swordfish";
  for (const address of [
    `postgresql://a:${password}@db/x`,
    `postgresql://a@db/x?password=${password}`,
    `postgresql://a@db/?x=${password}`,
    `postgresql://a@db/x/${password}`,
    `postgresql://a@db/x?sslmode=${password}`,
    `mysql://a:${password}@db/x`,
    `postgresql://a:${password}@db:port/x`,
    password,
  ]) {
    assert.throws(
      () => postgresPlace(address, null),
      (thrown) => {
        assert.equal((thrown as { code: string }).code, "PLACES_INVALID");
        assert.ok(!inspect(thrown, { depth: 9, showHidden: true }).includes(password), address);
        return true;
      },
    );
  }
});
