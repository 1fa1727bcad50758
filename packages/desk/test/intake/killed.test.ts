import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { mkdir, mkdtemp, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { originalsFolder } from "../../../record/src/originals/folder.ts";
import { openDesk, type TakeInLine } from "../../src/index.ts";
import { snapshotOf } from "../snapshot.ts";
import { faultsOf, HAND_LABEL, LEG_LABEL, type MadeUp, makeCard } from "../support.ts";

/**
 * Each seed draws five moments at which a run of the same intake is killed. A seed that failed stays here.
 * `KILL_SEEDS=40` tries 40 more: about 200 kills.
 */
const SEEDS = [41207, ...Array.from({ length: Number(process.env.KILL_SEEDS ?? 4) }, (_, nth) => nth + 1)];
const KILLS_PER_SEED = 5;
/** Of an undisturbed run's time: each run goes on where the one before was killed, so five of these cover it. */
const SHARE = 0.4;

const at = (minute: number) => `2026:03:15 09:${String(minute).padStart(2, "0")}:00`;
const padding = 300_000;
const CARD: Record<string, MadeUp | string> = {
  "DCIM/100CLINI/DSC_0001.JPG": { taken: at(0), padding },
  "DCIM/100CLINI/DSC_0002.JPG": { taken: at(1), padding, codes: [LEG_LABEL] },
  "DCIM/100CLINI/DSC_0003.JPG": { taken: at(2), padding },
  "DCIM/100CLINI/DSC_0003.NEW": { taken: at(2), padding, raw: true },
  "DCIM/100CLINI/DSC_0004.JPG": { taken: at(3), padding },
  "DCIM/100CLINI/DSC_0004.NEW": { taken: at(3), padding, raw: true },
  "DCIM/100CLINI/DSC_0005.JPG": { taken: at(9), padding, codes: [HAND_LABEL] },
  "DCIM/100CLINI/DSC_0006.JPG": { taken: at(10), padding },
  "DCIM/100CLINI/DSC_0007.JPG": { taken: at(10), padding, broken: true },
  "DCIM/100CLINI/DSC_0008.JPG": { taken: at(11), padding },
  "DCIM/100CLINI/twin of DSC_0003.JPG": { taken: at(2), padding },
  "DCIM/100CLINI/NOTES.TXT": "ward 7",
};

let folder: string;
let card: string;
let undisturbed: Record<string, unknown[]>;
let durationMs: number;
let kills = 0;

/** A place for a library, with a second place beside it. */
async function newPlace(name: string): Promise<string> {
  await mkdir(join(folder, name, "second"), { recursive: true });
  return join(folder, name, "library");
}

before(async () => {
  folder = await mkdtemp(join(tmpdir(), "samescale-killed-"));
  card = await makeCard(join(folder, "card"), CARD);
  const library = await newPlace("undisturbed");
  const run = await runChild(library, card, null);
  assert.equal(run.signal, null);
  undisturbed = await look(library, []);
  // The quicker of two tells how long one takes: kills drawn from a run that the machine held up would come too late.
  const again = await runChild(await newPlace("undisturbed-again"), card, null);
  durationMs = Math.min(run.endedAt - run.begunAt, again.endedAt - again.begunAt);
});

after(() => rm(folder, { recursive: true, force: true }));

for (const seed of SEEDS) {
  test(`an intake killed at random moments ends in the library of an undisturbed one, seed ${seed}`, async () => {
    const random = randomFrom(seed);
    const library = await newPlace(`killed-${seed}`);
    for (let nth = 0; nth < KILLS_PER_SEED; nth++) {
      const run = await runChild(library, card, random() * SHARE * durationMs);
      if (run.signal === "SIGKILL") kills++;
      await keptItsWord(library, run.lines);
    }
    const last = await runChild(library, card, null);
    assert.equal(last.signal, null);
    assert.deepEqual(await look(library, []), undisturbed);
  });
}

test("two runs of one card at once end in the library of one", async () => {
  const library = await newPlace("two-at-once");
  const runs = await Promise.all([runChild(library, card, null), runChild(library, card, null)]);
  assert.deepEqual(
    runs.map((run) => run.signal),
    [null, null],
  );
  assert.deepEqual(await look(library, []), undisturbed);
});

test("an original whose run was killed before it got its row is adopted by the next run", async () => {
  const library = await newPlace("orphan");
  const desk = await openDesk(library);
  const orphan = await desk.library.originals.put({
    name: "DSC_0001.JPG",
    async *read() {
      yield await readFile(join(card, "DCIM/100CLINI/DSC_0001.JPG"));
    },
  });
  assert.ok(orphan.state === "stored");
  assert.match((await faultsOf(desk)).join(), /no row knows it/);
  await desk.close();
  const { lines } = await runChild(library, card, null);
  const states = lines.flatMap((line) =>
    "state" in line && line.sha256 === orphan.sha256 ? [line.state] : [],
  );
  assert.deepEqual(states, ["stored"]);
  assert.deepEqual(await look(library, []), undisturbed);
});

test("the runs were really killed, at least twenty times", () => {
  assert.ok(kills >= 20, `${kills} kills`);
});

/** The long one: docs/reliability.md has its figures. */
const LONG = process.env.SAMESCALE_LONG === "1";
const LONG_FILES = 200;
const LONG_KILLS = 200;

test("an intake of 200 files, killed 200 times", {
  skip: LONG ? false : "takes minutes: bin/check --long runs it",
}, async (t) => {
  const files: [string, MadeUp][] = Array.from({ length: LONG_FILES }, (_, nth) => {
    const codes = nth % 20 === 0 ? [nth % 40 === 0 ? LEG_LABEL : HAND_LABEL] : [];
    const name = `DCIM/100CLINI/DSC_${String(nth + 1).padStart(4, "0")}.JPG`;
    const taken = `2026:03:15 ${String(9 + Math.floor(nth / 60)).padStart(2, "0")}:${String(nth % 60).padStart(2, "0")}:00`;
    return [name, { taken, codes, padding: 20_000 }];
  });
  const long = await makeCard(join(folder, "long-card"), Object.fromEntries(files));
  const whole = await newPlace("long-undisturbed");
  const first = await runChild(whole, long, null);
  const expected = await look(whole, []);
  const lasts = first.endedAt - first.begunAt;
  const random = randomFrom(200);
  let killed = 0;
  let intakes = 0;
  while (killed < LONG_KILLS) {
    const library = await newPlace(`long-${intakes++}`);
    for (;;) {
      const after = killed < LONG_KILLS ? random() * lasts : null;
      const run = await runChild(library, long, after);
      if (run.signal !== "SIGKILL") break;
      killed++;
      await keptItsWord(library, run.lines);
    }
    assert.deepEqual(await look(library, []), expected);
    await rm(join(library, ".."), { recursive: true });
  }
  t.diagnostic(
    `${killed} kills over ${intakes} intakes of ${LONG_FILES} files; undisturbed ${Math.round(lasts)} ms`,
  );
});

/** Whatever a killed run had said to be safe is there, whole; nothing that is there is half-written. */
async function keptItsWord(library: string, lines: readonly TakeInLine[]): Promise<void> {
  const said = lines.flatMap((line) => ("sha256" in line && line.sha256 !== null ? [line.sha256] : []));
  let desk: Awaited<ReturnType<typeof openDesk>>;
  try {
    desk = await openDesk(library, { mode: "read" });
  } catch (thrown) {
    // Killed while the library itself was being made: nothing can have been said yet.
    assert.match((thrown as { code: string }).code, /^(LIBRARY_MISSING|NOT_A_LIBRARY|LIBRARY_OLDER)$/);
    assert.deepEqual(said, []);
    return;
  }
  for (const sha256 of said) {
    const row = await desk.library.read
      .selectFrom("file")
      .select("sha256")
      .where("sha256", "=", sha256)
      .execute();
    assert.equal(row.length, 1);
    assert.equal(await desk.library.originals.rehash(sha256), sha256);
  }
  const twice = lines.flatMap((line) => ("copies" in line && line.copies === 2 ? [line.sha256!] : []));
  if (twice.length > 0) {
    const second = originalsFolder(join(library, "../second/originals"));
    for (const sha256 of twice) assert.equal(await second.rehash(sha256), sha256);
  }
  const faults = await faultsOf(desk);
  const atMost =
    /left behind by a run that was killed|no row knows it: (its intake|the run that made it) was killed|^log custody\.head: is missing|^file README\.txt: is missing/;
  assert.deepEqual(
    faults.filter((fault) => !atMost.test(fault)),
    [],
  );
  await desk.close();
}

async function look(library: string, faults: readonly string[]): Promise<Record<string, unknown[]>> {
  const desk = await openDesk(library, { mode: "read" });
  assert.deepEqual(await faultsOf(desk), faults);
  const snapshot = await snapshotOf(desk.library);
  await desk.close();
  return JSON.parse(JSON.stringify(snapshot)) as Record<string, unknown[]>;
}

/** Runs the intake in a process of its own; kills it that many milliseconds after it began, if not null. */
function runChild(library: string, from: string, killAfterMs: number | null) {
  type Ran = { signal: string | null; lines: TakeInLine[]; begunAt: number; endedAt: number };
  return new Promise<Ran>((resolve) => {
    const script = join(import.meta.dirname, "take-in.process.ts");
    const child = spawn(process.execPath, [script, library, from], {
      stdio: ["ignore", "pipe", "inherit"],
      env: { ...process.env, NODE_COMPILE_CACHE: join(folder, "compiled") },
    });
    let out = "";
    let begunAt = 0;
    child.stdout.on("data", (piece) => {
      out += piece;
      if (begunAt > 0) return;
      begunAt = performance.now();
      if (killAfterMs !== null) setTimeout(() => child.kill("SIGKILL"), killAfterMs);
    });
    child.on("close", (_, signal) => {
      // A line that the kill cut in two was not said.
      const lines = out.split("\n").slice(1, -1);
      resolve({ signal, lines: lines.map((line) => JSON.parse(line)), begunAt, endedAt: performance.now() });
    });
  });
}

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
