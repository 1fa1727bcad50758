import assert from "node:assert/strict";
import { join } from "node:path";
import { test } from "node:test";
import {
  addRequest,
  clockAsBooked,
  clockFromFrame,
  correctClock,
  doneOrThrow,
  suspectClocks,
} from "../../src/index.ts";
import { freshDesk, MARA, makeCard, placings, takeAll, temporaryFolder } from "../support.ts";

/** Booked for nine; the camera, still at winter time, says eight and a few minutes. */
async function takenAnHourEarly(t: Parameters<typeof freshDesk>[0]) {
  const desk = await freshDesk(t);
  const details = { bookedAt: ["2026-03-15T09:00:00"] };
  doneOrThrow(await addRequest(desk, MARA, { code: "R-9", patientId: null, kind: "non-clinical", details }));
  const card = await makeCard(join(await temporaryFolder(t), "card"), {
    "DCIM/999CLINI/DSC_9999.JPG": { taken: "2026:03:15 08:07:00", codes: ["SR1:R-9"] },
    "DCIM/999CLINI/DSC_0001.JPG": { taken: "2026:03:15 08:08:10" },
    "DCIM/999CLINI/DSC_0002.JPG": { taken: null },
  });
  await takeAll(desk, [card]);
  const frames = await desk.library.read.selectFrom("frame").selectAll().orderBy("position").execute();
  return { desk, frames };
}

const times = async (desk: Awaited<ReturnType<typeof freshDesk>>) =>
  (
    await desk.library.read
      .selectFrom("frame")
      .select(["taken_raw", "taken_camera", "taken_at"])
      .orderBy("position")
      .execute()
  ).map((row) => [row.taken_raw, row.taken_camera, row.taken_at]);

test("a photographed clock gives the offset, which stands beside the camera's time and never over it", async (t) => {
  const { desk, frames } = await takenAnHourEarly(t);
  const before = await times(desk);
  const found = await clockFromFrame(desk, frames[1]!.id, "2026-03-15 09:08:25");
  assert.ok(!("refused" in found));
  assert.equal(found.offsetS, 3615);
  assert.match(found.because, /^Frame DSC_0001 shows a clock at 2026-03-15 09:08:25$/);
  doneOrThrow(await correctClock(desk, MARA, found));
  const after = await times(desk);
  assert.deepEqual(
    after.map(([raw, camera]) => [raw, camera]),
    before.map(([raw, camera]) => [raw, camera]),
  );
  assert.deepEqual(
    after.map(([, , at]) => at),
    ["2026-03-15T09:07:15", "2026-03-15T09:08:25", null],
  );
});

test("label frames against the booked time give whole hours; a corrected card is suspect no more", async (t) => {
  const { desk, frames } = await takenAnHourEarly(t);
  const [suspect] = await suspectClocks(desk, MARA);
  assert.deepEqual([suspect?.aheadS, suspect?.labelFrames], [-53 * 60, 1]);
  assert.deepEqual(await suspectClocks(desk, { name: "x", role: "viewer" }), []);
  const found = await clockAsBooked(desk, MARA, frames[0]!.intake_id);
  assert.ok(!("refused" in found));
  assert.equal(found.offsetS, 3600);
  doneOrThrow(await correctClock(desk, MARA, found));
  assert.deepEqual(await suspectClocks(desk, MARA), []);
  assert.ok("refused" in (await clockAsBooked(desk, MARA, frames[0]!.intake_id)));
});

test("an appointment after the card was brought is the next visit: no clock is suspected for it", async (t) => {
  const { desk } = await takenAnHourEarly(t);
  const asked = await desk.library.read
    .selectFrom("request")
    .select(["id", "details"])
    .executeTakeFirstOrThrow();
  const begun = await desk.library.read.selectFrom("intake").select("begun_at").executeTakeFirstOrThrow();
  const later = new Date(Date.parse(begun.begun_at) + 30 * 86_400_000).toISOString().slice(0, 19);
  const only = { details: JSON.stringify({ ...JSON.parse(asked.details), bookedAt: [later] }) };
  await desk.library.write("test", async (writing) => {
    await writing.update("request", asked.id, only);
    return { value: null, deed: { act: "request.change", subject: `request/${asked.id}`, details: {} } };
  });
  assert.deepEqual(await suspectClocks(desk, MARA), []);
});

test("no correction comes from a frame without a time, an unknown frame, or what is no time", async (t) => {
  const { desk, frames } = await takenAnHourEarly(t);
  const at = "2026-03-15 09:08:25";
  for (const [frame, shows, why] of [
    [frames[2]!.id, at, /wrote no time into DSC_0002/],
    ["x", at, /no frame x/],
    [frames[0]!.id, "nine o'clock", /Expected what the clock shows/],
    [frames[0]!.id, "2026-02-31 25:00:00", /Expected what the clock shows/],
  ] as const) {
    const found = await clockFromFrame(desk, frame, shows);
    assert.ok("refused" in found && why.test(found.refused), JSON.stringify(found));
  }
});

test("numbers that start again behind 9999 on a card keep their order, with their label frame", async (t) => {
  const { desk } = await takenAnHourEarly(t);
  assert.deepEqual(await placings(desk), ["DSC_9999 R-9", "DSC_0001 R-9", "DSC_0002 R-9"]);
});

test("the same names on two cards of two cameras are different frames, each by its own label", async (t) => {
  const desk = await freshDesk(t);
  const codes = ["R-9", "R-8"];
  for (const code of codes)
    doneOrThrow(await addRequest(desk, MARA, { code, patientId: null, kind: "non-clinical" }));
  const cards: string[] = [];
  for (const [nth, code] of codes.entries()) {
    const model = `body ${nth}`;
    const taken = (second: number) => `2026:03:15 09:00:0${second}`;
    cards.push(
      await makeCard(join(await temporaryFolder(t), "card"), {
        "DCIM/100CLINI/DSC_0001.JPG": { model, taken: taken(1), codes: [`SR1:${code}`] },
        "DCIM/100CLINI/DSC_0002.JPG": { model, taken: taken(2) },
        "DCIM/101CLINI/DSC_0001.JPG": { model, taken: taken(3) },
      }),
    );
  }
  await takeAll(desk, cards);
  assert.deepEqual((await placings(desk)).toSorted(), [
    ...["DSC_0001 R-8", "DSC_0001 R-8", "DSC_0001 R-9", "DSC_0001 R-9", "DSC_0002 R-8", "DSC_0002 R-9"],
  ]);
});
