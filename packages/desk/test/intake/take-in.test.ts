import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { stat, utimes } from "node:fs/promises";
import { join } from "node:path";
import { test } from "node:test";
import {
  addTwoRequests,
  faultsOf,
  freshDesk,
  madeUpPictures,
  makeCard,
  placings,
  statesOf,
  summaryOf,
  takeAll,
  temporaryFolder,
} from "../support.ts";
import { at, MORNING } from "./morning.ts";

test("a card comes in file by file, frames go to the request whose label they follow, and it all verifies", async (t) => {
  const desk = await freshDesk(t);
  const { leg } = await addTwoRequests(desk);
  const card = await makeCard(join(await temporaryFolder(t), "card"), MORNING);
  const lines = await takeAll(desk, [card]);
  assert.deepEqual(
    statesOf(lines, card),
    Object.keys(MORNING).map((path) => `${path} stored`),
  );
  const sizes = await Promise.all(
    Object.keys(MORNING).map(async (path) => (await stat(join(card, path))).size),
  );
  assert.deepEqual(summaryOf(lines), {
    files: 6,
    stored: 6,
    already: 0,
    notPictures: 0,
    unreadable: 0,
    bytes: sizes.reduce((a, b) => a + b),
    placed: 4,
    unplaced: 1,
    cardMayBeErased: true,
    why: "All 6 files on it are in the library, read back and compared; one copy is enough, as the practice says (secondPlace: none)",
    signedEntries: 14,
    notSigned: null,
  });
  assert.deepEqual(await placings(desk), [
    "DSC_0001 -",
    "DSC_0002 R-1",
    "DSC_0003 R-1",
    "DSC_0004 R-2",
    "DSC_0005 R-2",
  ]);
  const frames = await desk.library.read
    .selectFrom("frame")
    .selectAll()
    .where("request_id", "=", leg)
    .execute();
  assert.deepEqual(
    frames.map((frame) => frame.kind),
    ["label", "picture"],
  );
  assert.deepEqual(new Set(frames.map((frame) => frame.visit_id)).size, 1);
  const visits = await desk.library.read.selectFrom("visit").select(["date", "opened_by"]).execute();
  assert.deepEqual(
    visits.map((visit) => ({ ...visit })),
    Array(2).fill({ date: "2026-03-15", opened_by: "label" }),
  );
  assert.deepEqual(await faultsOf(desk), []);
});

test("the hash of each line is what the sha256sum program says of the file on the card", async (t) => {
  const desk = await freshDesk(t);
  const card = await makeCard(join(await temporaryFolder(t), "card"), MORNING);
  const lines = await takeAll(desk, [card]);
  for (const line of lines) {
    if (!("state" in line)) continue;
    assert.equal(line.sha256, execFileSync("sha256sum", [line.file], { encoding: "utf8" }).slice(0, 64));
  }
});

test("the same card again changes nothing, not even the log, and says that all is there", async (t) => {
  const desk = await freshDesk(t);
  const card = await makeCard(join(await temporaryFolder(t), "card"), {
    ...MORNING,
    "notes.txt": "call ward 7",
  });
  const first = await takeAll(desk, [card]);
  const log = () => desk.library.read.selectFrom("act").selectAll().execute();
  const before = await log();
  const again = await takeAll(desk, [card]);
  assert.deepEqual(await log(), before);
  assert.deepEqual(summaryOf(again), { ...summaryOf(first), stored: 0, already: 6 });
  const [one] = (await takeAll(desk, [card])).filter((line) => "sha256" in line);
  assert.deepEqual(one, { ...first[0], state: "already" });
});

test("a card with more pictures since: only those are new, and the label from before still counts", async (t) => {
  const desk = await freshDesk(t);
  await addTwoRequests(desk);
  const card = await makeCard(join(await temporaryFolder(t), "card"), MORNING);
  await takeAll(desk, [card]);
  await makeCard(card, { "DCIM/100CLINI/DSC_0006.JPG": { taken: at(22) } });
  const lines = await takeAll(desk, [card]);
  assert.equal(summaryOf(lines).stored, 1);
  assert.equal(summaryOf(lines).placed, 5);
  assert.equal((await placings(desk)).at(-1), "DSC_0006 R-2");
  assert.equal((await desk.library.read.selectFrom("frame").select("id").execute()).length, 6);
  assert.deepEqual(await faultsOf(desk), []);
});

test("a RAW that comes later joins the frame of its JPEG", async (t) => {
  const desk = await freshDesk(t);
  const card = await makeCard(join(await temporaryFolder(t), "card"), { "DSC_0001.JPG": { taken: at(0) } });
  await takeAll(desk, [card]);
  await makeCard(card, { "DSC_0001.NEW": { taken: at(0), raw: true } });
  await takeAll(desk, [card]);
  const files = await desk.library.read.selectFrom("file").select(["name", "frame_id"]).execute();
  assert.equal(files.length, 2);
  assert.equal(new Set(files.map((file) => file.frame_id)).size, 1);
  assert.deepEqual(await faultsOf(desk), []);
});

test("another card with the same pictures brings no second frame", async (t) => {
  const desk = await freshDesk(t);
  const folder = await temporaryFolder(t);
  const card = await makeCard(join(folder, "card"), MORNING);
  const copy = await makeCard(join(folder, "copy"), {
    ...MORNING,
    "DCIM/100CLINI/DSC_0099.JPG": { taken: at(40) },
  });
  await takeAll(desk, [card]);
  const lines = await takeAll(desk, [copy]);
  assert.deepEqual([summaryOf(lines).stored, summaryOf(lines).already], [1, 6]);
  assert.equal((await desk.library.read.selectFrom("frame").select("id").execute()).length, 6);
  assert.deepEqual(await faultsOf(desk), []);
});

test("two cards with the same pictures at once bring every frame once", async (t) => {
  const desk = await freshDesk(t);
  const folder = await temporaryFolder(t);
  const card = await makeCard(join(folder, "card"), MORNING);
  const copy = await makeCard(join(folder, "copy"), MORNING);
  // The second comes to grouping while the first has not finished, and goes on when it has.
  const second = Promise.withResolvers<void>();
  const first = Promise.withResolvers<void>();
  const waitingFor = (gate: Promise<void>): typeof madeUpPictures => ({
    run: async (task, input) => {
      await gate;
      return madeUpPictures.run(task, input);
    },
  });
  await Promise.all([
    takeAll(desk, [card], { pictures: waitingFor(second.promise) }).then(() => first.resolve()),
    takeAll(desk, [copy], {
      pictures: waitingFor(first.promise),
      onProgress: ({ files }) => files === 6 && setTimeout(second.resolve, 100),
    }),
  ]);
  assert.equal((await desk.library.read.selectFrom("frame").select("id").execute()).length, 5);
  assert.equal((await desk.library.read.selectFrom("intake").select("id").execute()).length, 2);
  assert.deepEqual(await faultsOf(desk), []);
});

test("other pictures under the names, sizes and times of the last card are not taken for those", async (t) => {
  const desk = await freshDesk(t);
  const card = await makeCard(join(await temporaryFolder(t), "card"), { "DSC_0001.JPG": { taken: at(1) } });
  const day = new Date("2026-03-15T09:00:00Z");
  await utimes(join(card, "DSC_0001.JPG"), day, day);
  await takeAll(desk, [card]);
  await makeCard(card, { "DSC_0001.JPG": { taken: at(2) } });
  await utimes(join(card, "DSC_0001.JPG"), day, day);
  assert.deepEqual(statesOf(await takeAll(desk, [card]), card), ["DSC_0001.JPG stored"]);
  assert.equal((await desk.library.read.selectFrom("frame").select("id").execute()).length, 2);
  assert.deepEqual(await faultsOf(desk), []);
});

test("one picture twice on a card under two names is kept once and is one frame", async (t) => {
  const desk = await freshDesk(t);
  const twice = { taken: at(3) };
  const card = await makeCard(join(await temporaryFolder(t), "card"), {
    "a/DSC_1.JPG": twice,
    "b/DSC_1.JPG": twice,
  });
  const lines = await takeAll(desk, [card]);
  assert.deepEqual(statesOf(lines, card), ["a/DSC_1.JPG stored", "b/DSC_1.JPG already"]);
  assert.equal(summaryOf(lines).cardMayBeErased, true);
  assert.equal((await desk.library.read.selectFrom("frame").select("id").execute()).length, 1);
});

test("files of the same name in different folders are different frames", async (t) => {
  const desk = await freshDesk(t);
  const card = await makeCard(join(await temporaryFolder(t), "card"), {
    "100CLINI/DSC_0001.JPG": { taken: at(1) },
    "101CLINI/DSC_0001.JPG": { taken: at(2) },
  });
  assert.equal(summaryOf(await takeAll(desk, [card])).stored, 2);
  assert.equal((await desk.library.read.selectFrom("frame").select("id").execute()).length, 2);
});

test("several cards in one call: lines in order, one summary, every card named that must not be erased", async (t) => {
  const desk = await freshDesk(t);
  const folder = await temporaryFolder(t);
  const one = await makeCard(join(folder, "one"), { "a.jpg": { taken: at(1) } });
  const two = await makeCard(join(folder, "two"), { "b.jpg": { taken: at(2) }, "list.csv": "a,b\n" });
  const lines = await takeAll(desk, [one, join(folder, "none"), two]);
  assert.deepEqual(
    lines.map((line) => ("file" in line ? line.file.slice(folder.length + 1) : "summary")),
    ["one/a.jpg", "none", "two/b.jpg", "two/list.csv", "summary"],
  );
  assert.equal((lines[1] as { error: { code: string } }).error.code, "FILE_MISSING");
  const sum = summaryOf(lines);
  assert.equal(sum.cardMayBeErased, false);
  assert.match(sum.why, /none: There is no such file.* \| .*two: Not in the library: list\.csv/);
  assert.doesNotMatch(sum.why, /\/one:/);
});
