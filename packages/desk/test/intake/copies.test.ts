import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { chmod, cp, mkdir, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { type TestContext, test } from "node:test";
import type { Desk } from "../../src/index.ts";
import { type CopiesSaid, mayBeErased } from "../../src/intake/may-be-erased.ts";
import type { TakenFile } from "../../src/intake/take-in-lines.ts";
import { faultsOf, freshDesk, makeCard, summaryOf, takeAll, temporaryFolder } from "../support.ts";
import { MORNING } from "./morning.ts";

/** A library with a card, and a second place beside it. */
async function withSecondPlace(t: TestContext) {
  const desk = await freshDesk(t);
  const folder = await temporaryFolder(t);
  const place = join(folder, "second");
  await mkdir(place);
  const card = await makeCard(join(folder, "card"), MORNING);
  const take = () => takeAll(desk, [card], { secondPlace: { is: "folder", path: place } });
  return { desk, folder, place, card, take };
}

const copies = async ({ library }: Desk) =>
  (
    await library.read.selectFrom("copy").select(["sha256", "bytes", "place"]).orderBy("sha256").execute()
  ).map((row) => ({ ...row }));
const log = ({ library }: Desk) => library.read.selectFrom("act").selectAll().execute();

const taken = (state: TakenFile["state"], more: Partial<TakenFile> = {}): TakenFile => ({
  path: "a.jpg",
  bytes: 1,
  sha256: null,
  state,
  reason: "It is text, not a picture",
  error: null,
  leftBySystem: false,
  kind: "picture",
  hasCopy: true,
  ...more,
});

const TWO: CopiesSaid = { said: { is: "folder", path: "/second" }, fault: null, onSameDisk: false };
const ONE: CopiesSaid = { ...TWO, said: { is: "one copy is enough" } };

test("a card may be erased only when everything on it is kept twice, or once where the practice says so", () => {
  const both = [taken("stored"), taken("already")];
  const lines: readonly (readonly [CopiesSaid, TakenFile[], boolean, RegExp])[] = [
    [
      TWO,
      both,
      true,
      /^All 2 files on it are in the library and at the second place, each read back and compared$/,
    ],
    [{ ...TWO, onSameDisk: true }, both, true, /both copies lie on one disk/],
    [
      ONE,
      both,
      true,
      /read back and compared; one copy is enough, as the practice says \(secondPlace: none\)$/,
    ],
    [
      { ...TWO, said: { is: "not said" } },
      both,
      false,
      /but only there\. Name a folder on another disk as secondPlace/,
    ],
    [
      TWO,
      [taken("stored"), taken("stored", { hasCopy: false })],
      false,
      /^1 of 2 files have no second copy\. Then take/,
    ],
    [TWO, [taken("stored"), taken("not-a-picture", { leftBySystem: true })], true, /^The one file/],
    [TWO, [], false, /No picture was found/],
    [TWO, [taken("not-a-picture", { leftBySystem: true })], false, /No picture was found/],
    [TWO, Array<TakenFile>(9).fill(taken("unreadable")), false, / and 6 more$/],
  ];
  for (const [second, files, may, why] of lines) {
    const answer = mayBeErased(files, second);
    assert.equal(answer.may, may, answer.why);
    assert.match(answer.why, why);
  }
  for (const state of ["not-a-picture", "unreadable"] as const) {
    assert.deepEqual(mayBeErased([taken("stored"), taken(state, { path: "notes.txt" })], ONE), {
      may: false,
      why: "Not in the library: notes.txt (It is text, not a picture)",
    });
  }
});

test("every original lies at the second place as well, as the sha256sum program sees it; again changes nothing", async (t) => {
  const { desk, place, take } = await withSecondPlace(t);
  const lines = await take();
  assert.ok(lines.every((line) => !("state" in line) || line.copies === 2));
  assert.equal(summaryOf(lines).cardMayBeErased, true);
  assert.match(summaryOf(lines).why, /in the library and at the second place.*one disk/);
  const rows = await copies(desk);
  assert.equal(rows.length, 6);
  const sums = rows.map(({ sha256 }) => {
    const path = `${sha256.slice(0, 2)}/${sha256.slice(2, 4)}/${sha256}`;
    return `${sha256}  ${path}\n`;
  });
  execFileSync("sha256sum", ["--check", "--quiet", "--strict"], {
    cwd: join(place, "originals"),
    input: sums.join(""),
  });
  assert.deepEqual(await readdir(join(place, "originals/incoming")), []);
  const before = await log(desk);
  assert.equal(summaryOf(await take()).cardMayBeErased, true);
  assert.deepEqual(await log(desk), before);
  assert.deepEqual(await faultsOf(desk), []);
});

test("without a word in the practice the card stays as it is; the same command later makes the missing copies", async (t) => {
  const { desk, card, take } = await withSecondPlace(t);
  const first = summaryOf(await takeAll(desk, [card], { secondPlace: { is: "not said" } }));
  assert.equal(first.cardMayBeErased, false);
  assert.match(first.why, /but only there/);
  assert.deepEqual(await copies(desk), []);
  const later = summaryOf(await take());
  assert.equal(later.cardMayBeErased, true);
  assert.equal((await copies(desk)).length, 6);
  const acts = (await log(desk)).map(({ act }) => act);
  assert.equal(acts.filter((act) => act === "copy.store").length, 6);
  assert.deepEqual(await faultsOf(desk), []);
});

test("a second place that is not there, or is another disk than before, is named and never made", async (t) => {
  const { desk, folder, place, card, take } = await withSecondPlace(t);
  await rm(place, { recursive: true });
  const missing = await take();
  assert.ok(missing.every((line) => !("state" in line) || (line.state === "stored" && line.copies === 1)));
  assert.equal(summaryOf(missing).cardMayBeErased, false);
  assert.match(
    summaryOf(missing).why,
    /^6 of 6 files have no second copy: The second place is not there: .*Connect its disk.*take the card in again/,
  );
  assert.deepEqual((await readdir(folder)).sort(), ["card"]);
  await mkdir(place);
  assert.equal(summaryOf(await take()).cardMayBeErased, true);
  await rm(place, { recursive: true });
  await mkdir(place);
  assert.match(summaryOf(await take()).why, /Copies went to .* before, and its file .* is not there now/);
  assert.deepEqual(await readdir(place), []);
  for (const path of [desk.library.folder, join(desk.library.folder, "originals"), card, folder]) {
    const lines = await takeAll(desk, [card], { secondPlace: { is: "folder", path } });
    assert.equal(summaryOf(lines).cardMayBeErased, false, path);
    assert.match(summaryOf(lines).why, /one inside the other|lies inside the other/i);
  }
});

test("a copy that was lost is made again, a damaged one is named and the others are still checked", async (t) => {
  const { desk, place, take } = await withSecondPlace(t);
  await take();
  const [lost, damaged] = (await copies(desk)).map(({ sha256 }) =>
    join(place, "originals", sha256.slice(0, 2), sha256.slice(2, 4), sha256),
  ) as [string, string];
  await rm(lost);
  await chmod(damaged, 0o644);
  await writeFile(damaged, `${await readFile(damaged, "latin1")}x`, "latin1");
  const { cardMayBeErased, why } = summaryOf(await take());
  assert.equal(cardMayBeErased, false);
  assert.match(why, /^1 of 6 files have no second copy: The second copy is damaged: /);
  await rm(damaged);
  assert.equal(summaryOf(await take()).cardMayBeErased, true);
  assert.deepEqual(await faultsOf(desk), []);
});

test("an old second place moved to a new disk with its mark is known again", async (t) => {
  const { desk, folder, place, card, take } = await withSecondPlace(t);
  await take();
  const moved = join(folder, "moved");
  await cp(place, moved, { recursive: true });
  const lines = await takeAll(desk, [card], { secondPlace: { is: "folder", path: moved } });
  assert.equal(summaryOf(lines).cardMayBeErased, true);
  assert.equal((await copies(desk)).length, 12);
});

test("a full disk at the second place stops the copies, not the intake", async (t) => {
  const { desk, place, take } = await withSecondPlace(t);
  if (spawnSync("mount", ["-t", "tmpfs", "-o", "size=16k", "tmpfs", place]).status !== 0) {
    return t.skip("mounting a small disk needs root");
  }
  try {
    const lines = await take();
    assert.equal(summaryOf(lines).stored, 6);
    assert.equal(summaryOf(lines).cardMayBeErased, false);
    assert.match(summaryOf(lines).why, /files have no second copy: The disk is full: .*Free some space/);
    assert.equal(spawnSync("mount", ["-o", "remount,size=8m", place]).status, 0);
    const on = summaryOf(await take());
    assert.equal(on.cardMayBeErased, true);
    assert.doesNotMatch(on.why, /one disk/);
    assert.deepEqual(await faultsOf(desk), []);
  } finally {
    spawnSync("umount", [place]);
  }
});
