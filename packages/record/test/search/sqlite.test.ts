import assert from "node:assert/strict";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { DatabaseSync } from "node:sqlite";
import { test } from "node:test";
import { openLibrary } from "../../src/index.ts";
import { steadyOptions, temporaryFolder } from "../support.ts";
import { searchContract } from "./search-contract.ts";

searchContract("SQLite", async () => {
  const folder = await mkdtemp(join(tmpdir(), "samescale-search-"));
  const library = await openLibrary(join(folder, "library"), steadyOptions());
  return {
    library,
    async close() {
      await library.close();
      await rm(folder, { recursive: true, force: true });
    },
  };
});

test("what another version wrote without following it is caught up with, from the log alone", async (t) => {
  const folder = join(await temporaryFolder(t), "library");
  const library = await openLibrary(folder, steadyOptions());
  await library.write("photographer:mara", async ({ insert }) => {
    const row = { id: "p1", number: "1", authority: "H", name: "Ada", birth_date: null, details: "{}" };
    await insert("patient", { ...row, made_at: "2026-03-15T09:00:00.000Z" });
    return { value: null, deed: { act: "patient.add", subject: "patient/p1" } };
  });
  await library.close();
  const behind = async (statement: string) => {
    const database = new DatabaseSync(join(folder, "samescale.db"));
    database.exec(statement);
    database.close();
    const opened = await openLibrary(folder, steadyOptions());
    const find = async () => {
      const seen = {
        patient: () => undefined,
        request: () => undefined,
        frame: () => undefined,
        among: null,
      };
      const wanted = {
        kind: "patient",
        text: "ada",
        facets: {},
        from: null,
        until: null,
        after: null,
        limit: 5,
      } as const;
      const all = { ...seen, patient: (is: { lit(value: boolean): unknown }) => is.lit(true) };
      return (await opened.search.find({ ...wanted, seen: all as never })).ids;
    };
    await assert.rejects(find(), { code: "SEARCH_BEHIND" });
    await opened.search.catchUp();
    assert.deepEqual(await find(), ["p1"]);
    await opened.close();
  };
  await behind("update search_state set sequence = 1; delete from search_document");
  await behind("update search_state set form = 0");
  await behind("delete from search_state");
  await behind("update search_state set sequence = 99");
  const reading = await openLibrary(folder, { mode: "read" });
  await assert.rejects(reading.search.catchUp(), { code: "SEARCH_BEHIND" });
  await reading.close();
});
