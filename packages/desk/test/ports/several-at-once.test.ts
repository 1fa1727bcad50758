import assert from "node:assert/strict";
import { join } from "node:path";
import { after, test } from "node:test";
import { beginLibrary } from "@samescale/record";
import {
  POSTGRES_ABSENT,
  type Servers,
  startServers,
} from "../../../record/test/servers/library-elsewhere.ts";
import { openDesk } from "../../src/index.ts";
import { addTwoRequests, faultsOf, HAND_LABEL, LEG_LABEL, makeCard, temporaryFolder } from "../support.ts";
import { run } from "./processes.ts";

const servers = await startServers();
after(() => servers?.stop());

const REQUESTS = 15;

/** Two labels, eight frames, RAW beside JPEG; the second camera has one picture of the first one's card as well. */
function cardOf(camera: string, hour: number) {
  const at = (minute: number) =>
    `2026:03:15 ${String(hour).padStart(2, "0")}:${String(minute).padStart(2, "0")}:00`;
  const frame = (nth: number, more = {}) => ({ taken: at(nth), model: camera, padding: 20_000, ...more });
  const name = (nth: number, ending = "JPG") => `DCIM/100CLINI/DSC_000${nth}.${ending}`;
  return {
    [name(1)]: frame(1, { codes: [LEG_LABEL] }),
    [name(2)]: frame(2),
    [name(2, "NEW")]: frame(2, { raw: true }),
    [name(3)]: frame(3),
    [name(4)]: frame(4, { codes: [HAND_LABEL] }),
    [name(5)]: frame(5),
    [name(5, "NEW")]: frame(5, { raw: true }),
    "DCIM/100CLINI/DSC_0009.JPG": { taken: "2026:03:15 07:00:00", padding: 20_000 },
  };
}
/** Seven of each card, one on both, and two RAWs among the seven. */
const FILES = 2 * 7 + 1;
const FRAMES = 2 * 5 + 1;

async function severalAtOnce(folder: string, library: string): Promise<void> {
  const [one, two] = [join(folder, "one"), join(folder, "two")];
  await makeCard(one, cardOf("body one", 9));
  await makeCard(two, cardOf("body two", 14));
  const desk = await openDesk(library);
  await addTwoRequests(desk);
  const all = [
    run("photographer.process.ts", library, "mara", one),
    run("photographer.process.ts", library, "noor", two),
    run("photographer.process.ts", library, "noor", two), // by mistake twice, at the same moment
    run("requester.process.ts", library, String(REQUESTS)),
  ];
  const ran = await Promise.all(all.map(({ ended }) => ended));
  for (const { code, said } of ran) assert.deepEqual([code, said], [0, ""]);

  const { read } = desk.library;
  const lines = ran.flatMap((each) => each.lines);
  assert.ok(!lines.some((line) => "error" in line && line.error), JSON.stringify(lines));
  assert.deepEqual(
    ran.at(-1)?.lines.map(({ done, own }) => [done, own]),
    Array.from({ length: REQUESTS }, (_, nth) => [true, nth + 1]),
    "each request is in the list as soon as it was added",
  );
  const files = await read.selectFrom("file").select("sha256").execute();
  assert.equal(files.length, FILES);
  const stored = lines.filter((line) => line.state === "stored").map((line) => line.sha256);
  assert.deepEqual([...new Set(stored)].sort(), files.map((file) => file.sha256).sort());
  assert.equal(stored.length, FILES, "each was said to be new exactly once");
  assert.equal((await read.selectFrom("frame").select("id").execute()).length, FRAMES);
  assert.equal((await read.selectFrom("request").select("id").execute()).length, 2 + REQUESTS);
  const actors = await read.selectFrom("act").select("actor").distinct().execute();
  for (const name of ["mara", "noor", "ward seven"]) {
    assert.ok(
      actors.some(({ actor }) => actor.includes(name)),
      name,
    );
  }
  assert.deepEqual(await faultsOf(desk), []);
  await desk.close();
}

test("two photographers and a requester at once on one PostgreSQL and one store: nothing lost, nothing doubled", async (t) => {
  if (servers === null) return t.skip(POSTGRES_ABSENT);
  const folder = await temporaryFolder(t);
  const library = join(folder, "library");
  await beginLibrary(library, await (servers as Servers).freshPlaces());
  await severalAtOnce(folder, library);
});

test("the same four processes at once on one SQLite library", async (t) => {
  const folder = await temporaryFolder(t);
  await severalAtOnce(folder, join(folder, "library"));
});
