import assert from "node:assert/strict";
import { join } from "node:path";
import { after, test } from "node:test";
import { setTimeout as wait } from "node:timers/promises";
import { beginLibrary } from "@samescale/record";
import {
  POSTGRES_ABSENT,
  type Servers,
  startServers,
} from "../../../record/test/servers/library-elsewhere.ts";
import { openDesk } from "../../src/index.ts";
import { snapshotOf } from "../snapshot.ts";
import { addTwoRequests, faultsOf, HAND_LABEL, LEG_LABEL, makeCard, temporaryFolder } from "../support.ts";
import { run } from "./processes.ts";

/** Moments at which the server is killed; `SAMESCALE_LONG=1` tries 24. */
const KILLS = process.env.SAMESCALE_LONG === "1" ? 24 : 2;
const KILLS_PER_LIBRARY = 2;
/** A seed that failed stays here. */
const SEED = 7;

const servers = await startServers();
after(() => servers?.stop());

const at = (minute: number) => `2026:03:15 09:${String(minute).padStart(2, "0")}:00`;
const CARD = Object.fromEntries(
  Array.from({ length: 24 }, (_, nth) => [
    `DCIM/100CLINI/DSC_00${String(nth + 1).padStart(2, "0")}.JPG`,
    {
      ...{ taken: at(nth), padding: 50_000 },
      ...(nth === 0 ? { codes: [LEG_LABEL] } : nth === 12 ? { codes: [HAND_LABEL] } : {}),
    },
  ]),
);

async function prepared(library: string): Promise<void> {
  const desk = await openDesk(library);
  await addTwoRequests(desk);
  await desk.close();
}

/** What the library holds, as the snapshot of an undisturbed one has it; it must hold. */
async function look(library: string): Promise<unknown> {
  const desk = await openDesk(library, { mode: "read" });
  assert.deepEqual(await faultsOf(desk), []);
  const snapshot = await snapshotOf(desk.library);
  await desk.close();
  // An intake that could say that it stopped signed the head already: the key is then older, and nothing else is.
  const { acts, ...rest } = JSON.parse(JSON.stringify(snapshot));
  const isKey = ({ act }: { readonly act: string }) => act === "key.make";
  return { ...rest, acts: [...acts.filter((one: never) => !isKey(one)), ...acts.filter(isKey)] };
}

test("PostgreSQL killed in the middle of an intake, the intake run again: the library of an undisturbed one", async (t) => {
  if (servers === null) return t.skip(POSTGRES_ABSENT);
  const { postgres, freshPlaces } = servers as Servers;
  const folder = await temporaryFolder(t);
  const card = await makeCard(join(folder, "card"), CARD);
  // The undisturbed one is SQLite and folders: whatever the engine and the store, the same is kept.
  const undisturbed = join(folder, "undisturbed");
  await prepared(undisturbed);
  const begun = performance.now();
  assert.equal((await run("photographer.process.ts", undisturbed, "mara", card).ended).code, 0);
  const durationMs = performance.now() - begun;
  const expected = await look(undisturbed);

  const random = randomFrom(SEED);
  let killedInside = 0;
  for (let nth = 0; nth < KILLS; nth += KILLS_PER_LIBRARY) {
    const library = join(folder, `killed-${nth}`);
    await beginLibrary(library, await freshPlaces());
    await prepared(library);
    for (let kill = 0; kill < KILLS_PER_LIBRARY; kill++) {
      const running = run("photographer.process.ts", library, "mara", card);
      await running.begun;
      await wait(random() * durationMs);
      if (running.child.exitCode === null) killedInside++;
      postgres.kill();
      await postgres.start();
      const { lines, said } = await running.ended;
      assert.equal(said, "");
      // What it had said to be safe is there, whatever was killed.
      const desk = await openDesk(library, { mode: "read" });
      for (const line of lines) {
        if (line.state !== "stored" && line.state !== "already") continue;
        const sha256 = String(line.sha256);
        assert.equal(await desk.library.originals.rehash(sha256), sha256);
        const row = desk.library.read.selectFrom("file").select("sha256").where("sha256", "=", sha256);
        assert.equal((await row.execute()).length, 1);
      }
      await desk.close();
    }
    assert.equal((await run("photographer.process.ts", library, "mara", card).ended).code, 0);
    assert.deepEqual(await look(library), expected);
  }
  assert.ok(killedInside >= KILLS / 2, `killed inside an intake ${killedInside} times of ${KILLS}`);
  t.diagnostic(`${killedInside} of ${KILLS} kills came while the intake ran`);
});

/** Small, fast, seeded: mulberry32. */
function randomFrom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}
