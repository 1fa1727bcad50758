import assert from "node:assert/strict";
import { readdir, rm, stat } from "node:fs/promises";
import { join } from "node:path";
import { after, test } from "node:test";
import {
  POSTGRES_ABSENT,
  type Servers,
  startServers,
} from "../../../record/test/servers/library-elsewhere.ts";
import { backUp, beginLibrary, doneOrThrow, openDesk, restore } from "../../src/index.ts";
import { snapshotOf } from "../snapshot.ts";
import { MARA, temporaryFolder } from "../support.ts";
import { libraryWithPictures, SECRET } from "./library-with-pictures.ts";

const servers = await startServers();
after(() => servers?.stop());

/** The whole way round: PostgreSQL and store, folder, PostgreSQL and store. */
test("a backup does not know engines: made of PostgreSQL and a store it comes back in a folder, and from there on servers", async (t) => {
  if (servers === null) return t.skip(POSTGRES_ABSENT);
  const { freshPlaces } = servers as Servers;
  const parent = await temporaryFolder(t);
  const [there, place, here, again] = ["there", "disk", "here", "again"].map((name) => join(parent, name));
  await beginLibrary(there as string, await freshPlaces());
  const desk = await libraryWithPictures(t, 5000, there);
  const made = doneOrThrow(await backUp(desk, MARA, { place: place as string, secret: SECRET }));
  const before = await look(there as string);

  const from = { place: place as string, secret: SECRET, backup: null };
  const inFolder = await restore(MARA, { ...from, folder: here as string });
  assert.deepEqual([inFolder.faults, { ...inFolder.head }], [[], { ...made.head }]);
  assert.deepEqual(await look(here as string), before);
  assert.ok((await readdir(here as string)).includes("samescale.db"));

  const places = await freshPlaces();
  let rows = 0;
  const stop = new AbortController();
  const killed = restore(MARA, {
    ...{ ...from, folder: again as string, places, signal: stop.signal },
    onProgress: ({ step, done }) => {
      if (step === "originals" && done === 2) stop.abort();
    },
  });
  await assert.rejects(killed, { name: "AbortError" });
  const elsewhere = join(parent, "elsewhere");
  const taken = { code: "RESTORE_PLACE_TAKEN" };
  await assert.rejects(restore(MARA, { ...from, folder: elsewhere, places }), taken);
  await assert.rejects(
    restore(MARA, { ...from, folder: again as string, places: await freshPlaces() }),
    taken,
  );
  const onServers = await restore(MARA, {
    ...{ ...from, folder: again as string, places },
    onProgress: ({ step, done }) => {
      if (step === "rows") rows = done;
    },
  });
  assert.deepEqual([onServers.faults, { ...onServers.head }, onServers.rows], [[], { ...made.head }, rows]);
  assert.deepEqual(await look(again as string), before);
  assert.equal((await stat(join(again as string, "places.json"))).mode & 0o077, 0);

  // What is a library is never written over: not where tables are, not where pictures are.
  for (const part of [
    { tables: places.tables },
    { originals: places.originals, endpoint: places.endpoint },
  ]) {
    await assert.rejects(restore(MARA, { ...from, folder: elsewhere, places: part }), taken);
  }
  assert.deepEqual(await readdir(elsewhere).catch(() => []), []);
  await rm(again as string, { recursive: true });
  const { tables } = await freshPlaces();
  const mixed = await restore(MARA, { ...from, folder: again as string, places: { tables } });
  assert.deepEqual(mixed.faults, []);
  assert.ok((await readdir(again as string)).includes("originals"));
});

/** Everything but what the log tells since: of the backup, and of the restoring. */
async function look(folder: string) {
  const desk = await openDesk(folder, { mode: "read" });
  const { acts, ...rest } = await snapshotOf(desk.library);
  await desk.close();
  return JSON.parse(JSON.stringify({ ...rest, acts: acts?.slice(0, -1) }));
}
