import assert from "node:assert/strict";
import { test } from "node:test";
import type { Insertable, Kysely } from "kysely";
import type { FileTable, Schema } from "../../src/index.ts";
import type { Tables } from "../../src/tables/tables.ts";

export interface TablesUnderTest {
  readonly tables: Tables;
  /** The same database, as another process would open it. */
  again(): Promise<Tables>;
  close(): Promise<void>;
}

const TIME = "2026-03-15T09:00:00.000Z";

/** What every database under the record must do; nothing in here is the words of one engine. */
export function tablesContract(engine: string, openTables: () => Promise<TablesUnderTest>): void {
  const contract = (title: string, body: (db: Kysely<Schema>, under: TablesUnderTest) => Promise<void>) =>
    test(`tables in ${engine}: ${title}`, async () => {
      const under = await openTables();
      try {
        await body(under.tables.db, under);
      } finally {
        await under.close();
      }
    });

  contract("a row comes back as it went in: text, whole numbers beyond 32 bits, nothing", async (db) => {
    const row = fileRow("a", { bytes: 5_000_000_000, name: 'Ä "x" \u0001 \u{1f600} ;drop table file' });
    await db.insertInto("file").values(row).execute();
    assert.deepEqual({ ...(await db.selectFrom("file").selectAll().executeTakeFirstOrThrow()) }, row);
  });

  contract("counting gives a number", async (db) => {
    await db
      .insertInto("file")
      .values([fileRow("a"), fileRow("b")])
      .execute();
    const { n } = await db
      .selectFrom("file")
      .select((of) => of.fn.countAll<number>().as("n"))
      .executeTakeFirstOrThrow();
    assert.equal(n, 2);
  });

  contract("text sorts by code point, not by a language", async (db) => {
    for (const name of ["b", "a", "B", "ä", "A"]) {
      await db
        .insertInto("patient")
        .values({
          id: name,
          number: name,
          authority: "H",
          name,
          birth_date: null,
          details: "{}",
          made_at: TIME,
        })
        .execute();
    }
    const rows = await db.selectFrom("patient").select("id").orderBy("id").execute();
    assert.deepEqual(
      rows.map((row) => row.id),
      ["A", "B", "a", "b", "ä"],
    );
  });

  contract("a number is one patient's within its authority, and may be another's elsewhere", async (db) => {
    const patient = { number: "17", name: "x", birth_date: null, details: "{}", made_at: TIME };
    await db
      .insertInto("patient")
      .values({ ...patient, id: "1", authority: "H" })
      .execute();
    await db
      .insertInto("patient")
      .values({ ...patient, id: "2", authority: "K" })
      .execute();
    await assert.rejects(
      db
        .insertInto("patient")
        .values({ ...patient, id: "3", authority: "H" })
        .execute(),
    );
  });

  contract("a reference must lead somewhere, and what is referred to stays", async (db) => {
    const request = {
      id: "r",
      code: "R-1",
      kind: "clinical",
      due_date: null,
      state: "open",
      details: "{}",
    } as const;
    const orphan = { ...request, patient_id: "nobody", made_at: TIME };
    await assert.rejects(db.insertInto("request").values(orphan).execute());
    await db
      .insertInto("patient")
      .values({
        id: "p",
        number: "1",
        authority: "H",
        name: "x",
        birth_date: null,
        details: "{}",
        made_at: TIME,
      })
      .execute();
    await db
      .insertInto("request")
      .values({ ...orphan, patient_id: "p" })
      .execute();
    await assert.rejects(db.deleteFrom("patient").where("id", "=", "p").execute());
  });

  contract("a transaction that throws leaves nothing", async (db) => {
    const failing = db.transaction().execute(async (transaction) => {
      await transaction.insertInto("file").values(fileRow("a")).execute();
      throw new Error("stop");
    });
    await assert.rejects(failing, /stop/);
    assert.equal((await db.selectFrom("file").selectAll().execute()).length, 0);
  });

  contract("transactions begun at once run one after another", async (db) => {
    const order: string[] = [];
    const one = (name: string) =>
      db.transaction().execute(async (transaction) => {
        order.push(`${name} begins`);
        await transaction.insertInto("file").values(fileRow(name)).execute();
        await new Promise((resolve) => setTimeout(resolve, 5));
        order.push(`${name} ends`);
      });
    await Promise.all([one("a"), one("b"), one("c")]);
    const names = order.filter((_, at) => at % 2 === 0).map((line) => line.slice(0, 1));
    assert.deepEqual([...names].sort(), ["a", "b", "c"]);
    assert.deepEqual(
      order,
      names.flatMap((name) => [`${name} begins`, `${name} ends`]),
    );
  });

  contract(
    "a reader in a transaction sees one moment, whatever is committed beside it",
    async (db, under) => {
      const other = await under.again();
      try {
        await db
          .transaction()
          .setAccessMode("read only")
          .execute(async (snapshot) => {
            const before = await snapshot.selectFrom("file").selectAll().execute();
            await other.db.insertInto("file").values(fileRow("a")).execute();
            assert.deepEqual(await snapshot.selectFrom("file").selectAll().execute(), before);
          });
        assert.equal((await db.selectFrom("file").selectAll().execute()).length, 1);
      } finally {
        await other.close();
      }
    },
  );

  contract(
    "an entry of the log can be added, and the database itself refuses to change or remove it",
    async (db) => {
      const entry = { sequence: 1, time: TIME, actor: "a", act: "x", subject: "s", details: "{}" };
      await db
        .insertInto("act")
        .values({ ...entry, previous: "0", hash: "1" })
        .execute();
      const loose = db as unknown as Kysely<Record<"act", Record<string, string>>>;
      await assert.rejects(loose.updateTable("act").set({ actor: "b" }).execute());
      await assert.rejects(db.deleteFrom("act").execute());
      await assert.rejects(
        db
          .insertInto("act")
          .values({ ...entry, previous: "0", hash: "2" })
          .execute(),
      );
      assert.equal((await db.selectFrom("act").select("actor").executeTakeFirstOrThrow()).actor, "a");
    },
  );

  contract("opening again changes nothing", async (db, under) => {
    await db.insertInto("file").values(fileRow("a")).execute();
    const again = await under.again();
    assert.equal((await again.db.selectFrom("file").selectAll().execute()).length, 1);
    assert.deepEqual(await again.engineFaults(), []);
    await again.close();
  });
}

function fileRow(sha256: string, more: Partial<Insertable<FileTable>> = {}): Insertable<FileTable> {
  return {
    sha256,
    bytes: 1,
    format: "jpeg",
    name: "x",
    frame_id: null,
    info: null,
    stored_at: TIME,
    kind: null,
    destroyed_at: null,
    destroyed_because: null,
    ...more,
  };
}
