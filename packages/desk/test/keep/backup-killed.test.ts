import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { createHash } from "node:crypto";
import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { type TestContext, test } from "node:test";
import { backUp, backupsAt, doneOrThrow, restore } from "../../src/index.ts";
import { MARA, temporaryFolder } from "../support.ts";
import { libraryWithPictures, SECRET, takeMore } from "./library-with-pictures.ts";

const LONG = process.env.SAMESCALE_LONG === "1";
/** Kills into one place, each run going on where the one before it was killed. */
const KILLS_PER_PLACE = 3;
const PLACES = LONG ? 14 : 1;
/** Taken in between the first backup, of three, and the one that is killed. */
const MORE = LONG ? 60 : 8;
/** Rows, originals and their two derived pictures each: a run tells of at least so many steps. */
const STEPS = 3 * (3 + MORE);
/** A step takes some milliseconds: the kill comes anywhere within. */
const WITHIN_MS = 6;
/** A seed that failed stays here. */
const SEED = 11;

test(`a backup killed ${KILLS_PER_PLACE * PLACES} times at random moments, the same command again: whole, and the one before it stayed whole`, async (t) => {
  const desk = await libraryWithPictures(t);
  const library = desk.library.folder;
  const parent = await temporaryFolder(t);
  const places = Array.from({ length: PLACES }, (_, nth) => join(parent, `place-${nth}`));
  for (const place of places) doneOrThrow(await backUp(desk, MARA, { place, secret: SECRET }));
  await takeMore(t, desk, Array(MORE).fill(300_000));
  const random = randomFrom(SEED);
  let kills = 0;
  for (const place of places) {
    const first = await nameOfFirst(place);
    for (let nth = 0; nth < KILLS_PER_PLACE; nth++) {
      const { signal } = await run(library, place, { step: 1 + random() * STEPS, ms: random() * WITHIN_MS });
      if (signal === "SIGKILL") kills++;
      await nothingHalf(place);
      assert.equal((await backupsAt({ place }, SECRET, library)).at(-1)?.name, first);
    }
    assert.equal((await run(library, place, null)).signal, null);
    await comesBack(t, place, first, 3);
    await comesBack(t, place, null, 3 + MORE);
  }
  assert.ok(kills >= (KILLS_PER_PLACE * PLACES) / 2, `${kills} kills`);
  t.diagnostic(`${kills} of ${KILLS_PER_PLACE * PLACES} kills came before the backup was whole`);
});

async function nameOfFirst(place: string): Promise<string> {
  const [name] = await readdir(join(place, "backups"));
  return name ?? assert.fail("no backup");
}

/** What has a name is whole; what a killed run was writing has none yet. */
async function nothingHalf(place: string): Promise<void> {
  for (const entry of await readdir(join(place, "pieces"), { recursive: true, withFileTypes: true })) {
    if (!entry.isFile() || entry.parentPath.endsWith("incoming")) continue;
    const bytes = await readFile(join(entry.parentPath, entry.name));
    assert.equal(createHash("sha256").update(bytes).digest("hex"), entry.name);
  }
}

async function comesBack(t: TestContext, place: string, backup: string | null, originals: number) {
  const folder = join(await temporaryFolder(t), "back");
  const restored = await restore(MARA, { place, secret: SECRET, backup, folder });
  assert.deepEqual(
    [restored.originals, restored.verified.originals, restored.faults],
    [originals, originals, []],
  );
}

/** In a process of its own; killed so long after that step, if not null. */
function run(library: string, place: string, kill: { step: number; ms: number } | null) {
  return new Promise<{ signal: string | null }>((resolve) => {
    const script = join(import.meta.dirname, "back-up.process.ts");
    const key = SECRET.from === "key-file" ? Buffer.from(SECRET.bytes).toString() : "";
    const child = spawn(process.execPath, [script, library, place, key], {
      stdio: ["ignore", "pipe", "inherit"],
    });
    let steps = 0;
    child.stdout.on("data", (piece) => {
      const before = steps;
      steps += String(piece).split("\n").length - 1;
      if (kill === null || before >= kill.step || steps < kill.step) return;
      setTimeout(() => child.kill("SIGKILL"), kill.ms);
    });
    child.on("close", (_, signal) => resolve({ signal }));
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
