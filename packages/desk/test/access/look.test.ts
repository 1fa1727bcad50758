import assert from "node:assert/strict";
import { test } from "node:test";
import { lookAt } from "../../src/access/look.ts";
import { markSensitive } from "../../src/access/mark-sensitive.ts";
import { contactSheet } from "../../src/contact-sheet/contact-sheet.ts";
import { framesOfVisit, lookedAt } from "../../src/look/frames-of-visit.ts";
import { planOfRequest } from "../../src/look/plan-of-request.ts";
import { savePlan } from "../../src/plan/save-plan.ts";
import { addPerson, deskInTime, doneOrThrow, logOf } from "../people/support.ts";
import { addTwoRequests, MARA, makeCard, takeAll, temporaryFolder } from "../support.ts";

/** A card with a label frame, two pictures of a leg, and one that nobody claimed. */
async function leg(t: import("node:test").TestContext) {
  const { desk, time } = await deskInTime(t);
  const { leg: requestId } = await addTwoRequests(desk);
  const card = await makeCard(await temporaryFolder(t), {
    "DCIM/100A/A0000.JPG": { taken: "2026:03:14 07:00:00" },
    "DCIM/100A/A0001.JPG": { taken: "2026:03:14 09:00:00", codes: ["SR1:R-1:HN10001"] },
    "DCIM/100A/A0002.JPG": { taken: "2026:03:14 09:01:00" },
    "DCIM/100A/A0003.JPG": { taken: "2026:03:14 09:02:00" },
  });
  await takeAll(desk, [card]);
  doneOrThrow(await savePlan(desk, MARA, { requestId, format: "views/2", body: { views: [] } }));
  const frames = await desk.library.read
    .selectFrom("frame")
    .innerJoin("file", "file.frame_id", "frame.id")
    .select(["frame.id", "frame.visit_id", "file.sha256", "file.name"])
    .orderBy("frame.position")
    .execute();
  const named = (name: string) => frames.find((frame) => frame.name === name)!;
  const people = {
    mara: await addPerson(desk, "mara", "photographer"),
    vera: await addPerson(desk, "vera", "viewer"),
    otto: await addPerson(desk, "otto", "auditor"),
  };
  return { desk, time, requestId, named, people };
}

test("one frame that is sensitive hides alone, a sensitive request hides whole, in everything that reads", async (t) => {
  const { desk, requestId, named, people } = await leg(t);
  const { mara, vera, otto } = people;
  const { visit_id } = named("A0002.JPG");
  const because = "shows more than was asked for";
  const seenBy = async (actor: typeof vera) => ({
    visit: (await framesOfVisit(desk, actor, visit_id!)).map(({ name }) => name),
    one: (await lookedAt(desk, actor, named("A0003.JPG").id))?.name ?? null,
    plan: (await planOfRequest(desk, actor, requestId)) !== null,
    sheet: (await contactSheet(desk, actor)).requests.flatMap(({ visits }) =>
      visits.flatMap(({ frames }) => frames.map(({ fileName }) => fileName)),
    ),
    waiting: (await contactSheet(desk, actor)).unplaced.length,
    pixels: await lookAt(desk, actor, named("A0003.JPG").sha256),
  });
  const [two, three] = ["A0002.JPG", "A0003.JPG"];
  const whole = {
    visit: [two, three],
    one: three,
    plan: true,
    sheet: ["A0001.JPG", two, three],
    pixels: true,
  };
  const nothing = { visit: [], one: null, plan: false, sheet: [], waiting: 0, pixels: false };
  assert.deepEqual(await seenBy(mara), { ...whole, waiting: 1 });
  assert.deepEqual(await seenBy(vera), { ...whole, waiting: 0 });
  assert.deepEqual(await seenBy(otto), { ...nothing, plan: true }, "lists, no pictures");

  const frameId = named("A0003.JPG").id;
  doneOrThrow(await markSensitive(desk, mara, { of: { frameId }, categories: ["intimate"], because }));
  assert.deepEqual(await seenBy(mara), { ...whole, waiting: 1 });
  assert.deepEqual(await seenBy(vera), {
    ...{ ...nothing, plan: true },
    ...{ visit: [two], sheet: ["A0001.JPG", two] },
  });
  doneOrThrow(await markSensitive(desk, mara, { of: { requestId }, categories: ["child"], because }));
  assert.deepEqual(await seenBy(vera), nothing);
  assert.deepEqual(await seenBy(mara), { ...whole, waiting: 1 });
});

test("looking at a sensitive picture is on record before it is shown: once per person, picture and hour", async (t) => {
  const { desk, time, requestId, named, people } = await leg(t);
  const { mara, vera, otto } = people;
  const { sha256, id } = named("A0002.JPG");
  const looks = async () => (await logOf(desk)).filter(({ act }) => act === "look.sensitive");
  assert.equal(await lookAt(desk, mara, sha256), true);
  assert.deepEqual(await looks(), [], "nothing narrows it yet");
  const because = "a child";
  doneOrThrow(await markSensitive(desk, mara, { of: { requestId }, categories: ["child"], because }));
  for (let i = 0; i < 3; i++) assert.equal(await lookAt(desk, mara, sha256), true);
  assert.equal(await lookAt(desk, vera, sha256), false);
  assert.equal(await lookAt(desk, otto, sha256), false);
  assert.equal(await lookAt(desk, mara, "0".repeat(64)), false);
  assert.deepEqual(
    (await looks()).map(({ actor, subject }) => `${actor} ${subject}`),
    [`photographer:MARA [${mara.personId}] frame/${id}`],
  );
  const noon = time.at.getTime();
  time.at = new Date(noon + 3_599_999);
  await lookAt(desk, mara, sha256);
  assert.equal((await looks()).length, 1);
  time.at = new Date(noon + 3_600_000);
  await lookAt(desk, mara, sha256);
  assert.equal((await looks()).length, 2);
  await lookAt(desk, mara, named("A0003.JPG").sha256);
  assert.equal((await looks()).length, 3);
});
