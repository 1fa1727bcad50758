import assert from "node:assert/strict";
import { join } from "node:path";
import { type TestContext, test } from "node:test";
import { doneOrThrow } from "../../src/act/outcome.ts";
import type { Desk } from "../../src/desk.ts";
import { correctClock } from "../../src/intake/correct-clock.ts";
import { placeFrames } from "../../src/placing/place-frames.ts";
import { openVisit } from "../../src/visits/open-visit.ts";
import {
  addTwoRequests,
  faultsOf,
  freshDesk,
  LEG_LABEL,
  MARA,
  makeCard,
  placings,
  takeAll,
  temporaryFolder,
} from "../support.ts";

interface Taken {
  readonly desk: Desk;
  readonly leg: string;
  readonly hand: string;
  /** In the order of the card: a frame before the label, the label, a picture. */
  readonly frames: readonly string[];
  readonly intakeId: string;
}

async function takeThree(
  t: TestContext,
  day = "2026:03:15",
  before?: (desk: Desk, leg: string) => Promise<void>,
): Promise<Taken> {
  const desk = await freshDesk(t);
  const { leg, hand } = await addTwoRequests(desk);
  await before?.(desk, leg);
  const card = await makeCard(join(await temporaryFolder(t), "card"), {
    "DSC_0001.JPG": { taken: `${day} 23:50:00` },
    "DSC_0002.JPG": { taken: `${day} 23:55:00`, codes: [LEG_LABEL] },
    "DSC_0003.JPG": { taken: `${day} 23:56:00` },
  });
  await takeAll(desk, [card]);
  const rows = await desk.library.read
    .selectFrom("frame")
    .select(["id", "intake_id"])
    .orderBy("position")
    .execute();
  return { desk, leg, hand, frames: rows.map((row) => row.id), intakeId: rows[0]!.intake_id };
}

const visitsOf = async (desk: Desk) =>
  (
    await desk.library.read
      .selectFrom("visit")
      .select(["date", "opened_by", "void_because"])
      .orderBy("date")
      .execute()
  ).map((visit) => [visit.date, visit.opened_by, visit.void_because !== null]);

test("a person places frames with a reason, and the log keeps where they were", async (t) => {
  const { desk, hand, frames } = await takeThree(t);
  const [first, , third] = frames as [string, string, string];
  const place = {
    frameIds: [first, third],
    requestId: hand,
    because: "the hand clinic came first, label forgotten",
  };
  assert.deepEqual(doneOrThrow(await placeFrames(desk, MARA, place)), {
    moved: 2,
    doubts: [],
    released: [],
    stale: [],
  });
  assert.deepEqual(await placings(desk), ["DSC_0001 R-2", "DSC_0002 R-1", "DSC_0003 R-2"]);
  const last = await desk.library.read
    .selectFrom("act")
    .selectAll()
    .orderBy("sequence", "desc")
    .executeTakeFirstOrThrow();
  const said = JSON.parse(last.details) as {
    because: string;
    before: Record<string, { request: string | null }>;
  };
  assert.equal(said.because, place.because);
  assert.equal(said.before[first]?.request, null);
  assert.notEqual(said.before[third]?.request, null);
  const row = await desk.library.read
    .selectFrom("frame")
    .selectAll()
    .where("id", "=", first)
    .executeTakeFirstOrThrow();
  assert.deepEqual([row.placed_by, row.placing], ["person", place.because]);
  assert.deepEqual(await faultsOf(desk), []);
});

test("frames can go back to the unplaced", async (t) => {
  const { desk, frames } = await takeThree(t);
  doneOrThrow(await placeFrames(desk, MARA, { frameIds: frames, requestId: null, because: "nobody knows" }));
  assert.deepEqual(await placings(desk), ["DSC_0001 -", "DSC_0002 -", "DSC_0003 -"]);
  assert.deepEqual(await faultsOf(desk), []);
});

test("placing is refused without a reason, for unknown frames, requests and visits, and for another request's visit", async (t) => {
  const { desk, leg, hand, frames } = await takeThree(t);
  const visit = doneOrThrow(await openVisit(desk, MARA, { requestId: leg, date: "2026-03-16" }));
  const before = await desk.library.read.selectFrom("act").select("sequence").execute();
  const place = { frameIds: [frames[0] as string], requestId: hand, because: "seen on the list" };
  for (const wrong of [
    { ...place, because: " " },
    { ...place, frameIds: [] },
    { ...place, frameIds: [frames[0] as string, "x"] },
    { ...place, requestId: "x" },
    { ...place, visitId: "x" },
    { ...place, visitId: visit.id },
    { ...place, requestId: null, visitId: visit.id },
  ]) {
    assert.equal((await placeFrames(desk, MARA, wrong)).done, false);
  }
  assert.equal(
    (await desk.library.read.selectFrom("act").select("sequence").execute()).length,
    before.length,
  );
  doneOrThrow(await placeFrames(desk, MARA, { ...place, requestId: leg, visitId: visit.id }));
});

test("frames go to the visit that a person opened for that day", async (t) => {
  const { desk } = await takeThree(t, "2026:03:14", async (desk, requestId) => {
    doneOrThrow(await openVisit(desk, MARA, { requestId, date: "2026-03-14" }));
  });
  assert.deepEqual(await visitsOf(desk), [["2026-03-14", "person", false]]);
});

test("two visits on one day: none is chosen, a person is asked", async (t) => {
  const { desk } = await takeThree(t, "2026:03:14", async (desk, requestId) => {
    for (const details of [{ before: "theatre" }, { after: "theatre" }]) {
      doneOrThrow(await openVisit(desk, MARA, { requestId, date: "2026-03-14", details }));
    }
  });
  const frame = await desk.library.read
    .selectFrom("frame")
    .selectAll()
    .where("kind", "=", "label")
    .executeTakeFirstOrThrow();
  assert.equal(frame.visit_id, null);
  const [flag, ...others] = JSON.parse(frame.flags) as string[];
  assert.deepEqual(others, []);
  const visits = await desk.library.read.selectFrom("visit").select("id").orderBy("id").execute();
  assert.equal(
    flag,
    `Two visits on 2026-03-14: choose one by hand (${visits.map(({ id }) => id).join(", ")})`,
  );
});

test("a wrong clock is put right beside what the camera wrote, and its visit follows to the right day", async (t) => {
  const { desk, intakeId } = await takeThree(t, "2026:03:14");
  assert.deepEqual(await visitsOf(desk), [["2026-03-14", "label", false]]);
  const correction = { intakeId, offsetS: 600, because: "the clinic's clock in DSC_0001" };
  assert.deepEqual(doneOrThrow(await correctClock(desk, MARA, correction)), { frames: 3 });
  const rows = await desk.library.read.selectFrom("frame").selectAll().orderBy("position").execute();
  assert.deepEqual(
    rows.map((row) => [row.taken_raw, row.taken_camera, row.taken_at]),
    [
      ["2026:03:14 23:50:00", "2026-03-14T23:50:00", "2026-03-15T00:00:00"],
      ["2026:03:14 23:55:00", "2026-03-14T23:55:00", "2026-03-15T00:05:00"],
      ["2026:03:14 23:56:00", "2026-03-14T23:56:00", "2026-03-15T00:06:00"],
    ],
  );
  assert.deepEqual(await visitsOf(desk), [
    ["2026-03-14", "label", true],
    ["2026-03-15", "label", false],
  ]);
  const intake = await desk.library.read.selectFrom("intake").selectAll().executeTakeFirstOrThrow();
  assert.deepEqual(
    [intake.clock_offset_s, intake.clock_by, intake.clock_because],
    [600, "photographer:mara", correction.because],
  );
  assert.deepEqual(await faultsOf(desk), []);
  // The second correction replaces the first one; it does not add to it.
  doneOrThrow(await correctClock(desk, MARA, { ...correction, offsetS: 0 }));
  const back = await desk.library.read
    .selectFrom("frame")
    .select("taken_at")
    .orderBy("position")
    .executeTakeFirstOrThrow();
  assert.equal(back.taken_at, "2026-03-14T23:50:00");
  assert.deepEqual(await faultsOf(desk), []);
});

test("a clock from the future is believed once it is put right, and its flag goes", async (t) => {
  const { desk, intakeId } = await takeThree(t, "2036:03:12");
  const flagged = await desk.library.read
    .selectFrom("frame")
    .selectAll()
    .orderBy("position")
    .executeTakeFirstOrThrow();
  assert.equal(flagged.clock, "future");
  const tenYearsS = (Date.parse("2026-03-14T00:00:00Z") - Date.parse("2036-03-12T00:00:00Z")) / 1000;
  doneOrThrow(
    await correctClock(desk, MARA, { intakeId, offsetS: tenYearsS, because: "clock of the clinic" }),
  );
  const right = await desk.library.read
    .selectFrom("frame")
    .selectAll()
    .orderBy("position")
    .executeTakeFirstOrThrow();
  assert.deepEqual([right.clock, right.taken_at, right.flags], ["plausible", "2026-03-14T23:50:00", "[]"]);
  assert.deepEqual(await visitsOf(desk), [
    [null, "label", true],
    ["2026-03-14", "label", false],
  ]);
});

test("a clock is corrected in whole seconds, with a reason, for a card that is wholly in", async (t) => {
  const { desk, intakeId } = await takeThree(t);
  for (const wrong of [
    { intakeId, offsetS: 0.5, because: "x" },
    { intakeId, offsetS: 60, because: "" },
    { intakeId: "x", offsetS: 60, because: "x" },
  ]) {
    assert.equal((await correctClock(desk, MARA, wrong)).done, false);
  }
});
