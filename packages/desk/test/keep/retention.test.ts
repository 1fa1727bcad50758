import assert from "node:assert/strict";
import { join } from "node:path";
import { type TestContext, test } from "node:test";
import type { RetentionRule } from "@samescale/practice";
import {
  type Actor,
  backUp,
  type Desk,
  destroyPictures,
  doneOrThrow,
  finishDestroying,
  liftHold,
  listHolds,
  type Outcome,
  openDesk,
  placeHold,
  type RetentionPractice,
  restore,
  retentionProposals,
} from "../../src/index.ts";
import {
  addTwoRequests,
  faultsOf,
  LEG_LABEL,
  MARA,
  makeCard,
  NOON,
  takeAll,
  temporaryFolder,
} from "../support.ts";

const LEAD: Actor = { name: "lena", role: "lead" };
const EIGHT_YEARS: RetentionRule = {
  name: "adults",
  of: { kind: "clinical" },
  keepYears: 8,
  after: "last-visit",
  mark: "own",
  why: "test",
};
const practiceWith = (...retention: RetentionRule[]): RetentionPractice => ({
  retention,
  consent: { ageOfMajority: 18, leapDayBirthday: "03-01", tellDaysBefore: 30, wordings: [] },
});
const PRACTICE = practiceWith(EIGHT_YEARS);

test("what is over its time is proposed in words, with rule and day, and nothing is destroyed by that", async (t) => {
  const { desk, folder, leg } = await tenYearsLater(t);
  const rows = await all(retentionProposals(desk, MARA, PRACTICE, "2036-03-15"));
  const [proposal] = rows.filter((row) => row.requestId === leg);
  assert.equal(proposal?.originals, 3);
  assert.equal(proposal?.from, "2034-03-15");
  assert.equal(proposal?.rule, "adults");
  assert.match(proposal?.why ?? "", /8 years after the last visit on 2026-03-15/);
  assert.deepEqual(proposal?.against, []);
  assert.deepEqual(await all(retentionProposals(desk, MARA, PRACTICE, "2034-03-14")), []);
  assert.deepEqual(await all(retentionProposals(desk, MARA, practiceWith(), "2036-03-15")), []);
  assert.deepEqual(await faultsOf(desk), []);
  assert.equal((await originalsIn(desk)).length, 3);
  assert.ok(folder);
});

test("destroyed by the lead with a reason: bytes gone, rows and log tell of it, verify holds, the rest is named", async (t) => {
  const { desk, leg } = await tenYearsLater(t);
  const place = join(await temporaryFolder(t), "backup");
  doneOrThrow(await backUp(desk, MARA, { place, secret: null }));
  const destroying = { requestId: leg, frameIds: null, because: "eight years are over", practice: PRACTICE };
  assert.match(reasonOf(await destroyPictures(desk, MARA, destroying)), /not for the role photographer/);
  assert.match(
    reasonOf(await destroyPictures(desk, LEAD, { ...destroying, because: " " })),
    /needs a reason/,
  );
  const done = doneOrThrow(await destroyPictures(desk, LEAD, destroying));
  assert.equal(done.originals, 3);
  assert.match(done.left.join(), /Backups at .*backup up to 2036-03-15/);
  assert.deepEqual(await originalsIn(desk), []);
  const rows = await desk.library.read.selectFrom("file").selectAll().execute();
  assert.ok(rows.every((row) => row.destroyed_because === "eight years are over"));
  assert.deepEqual(await faultsOf(desk), []);
  assert.deepEqual(await all(retentionProposals(desk, MARA, PRACTICE, "2036-03-15")), []);
  assert.match(reasonOf(await destroyPictures(desk, LEAD, destroying)), /Nothing of it is here/);
  // A backup made afterwards does not bring them back, and is whole without them.
  const after = join(await temporaryFolder(t), "after");
  doneOrThrow(await backUp(desk, MARA, { place: after, secret: null }));
  const back = join(await temporaryFolder(t), "back");
  const restored = await restore(MARA, { place: after, secret: null, backup: null, folder: back });
  assert.deepEqual(restored.faults, []);
  assert.equal(restored.originals, 0);
});

test("a hold, evidence, a date that has not come and a date that is not known each forbid it", async (t) => {
  const { desk, leg, patient } = await tenYearsLater(t);
  const destroying = { requestId: leg, frameIds: null, because: "over", practice: PRACTICE };
  const refusal = async (more: Partial<typeof destroying> = {}) =>
    reasonOf(await destroyPictures(desk, LEAD, { ...destroying, ...more }));
  assert.match(await refusal({ practice: practiceWith() }), /No rule says/);
  assert.match(
    await refusal({ practice: practiceWith({ ...EIGHT_YEARS, keepYears: 30 }) }),
    /not time.*2056/,
  );
  const child = { ...EIGHT_YEARS, name: "child", of: { child: true } };
  assert.match(await refusal({ practice: practiceWith(EIGHT_YEARS, child) }), /date of birth is not known/);
  for (const [of, id] of [
    ["patient", patient],
    ["request", leg],
    ["frame", (await framesOf(desk, leg))[0] as string],
  ] as const) {
    const hold = doneOrThrow(await placeHold(desk, MARA, { of, id, because: "a claim was announced" }));
    assert.match(await refusal(), /legal hold forbids it: .*a claim was announced/);
    const [proposal] = await all(retentionProposals(desk, MARA, PRACTICE, "2036-03-15"));
    assert.match(proposal?.against.join() ?? "", /a claim was announced/);
    assert.match(reasonOf(await liftHold(desk, MARA, { id: hold.id, because: "x" })), /not for the role/);
    assert.match(reasonOf(await liftHold(desk, LEAD, { id: hold.id, because: "" })), /needs a reason/);
    doneOrThrow(await liftHold(desk, LEAD, { id: hold.id, because: "the claim was withdrawn" }));
    assert.match(reasonOf(await liftHold(desk, LEAD, { id: hold.id, because: "again" })), /was lifted on/);
  }
  assert.equal((await listHolds(desk, MARA, { lifted: false })).length, 0);
  assert.equal((await listHolds(desk, MARA, { lifted: true })).length, 3);
  assert.match(
    reasonOf(await placeHold(desk, MARA, { of: "patient", id: "nobody", because: "x" })),
    /no patient/,
  );
  const frame = (await framesOf(desk, leg))[1] as string;
  await desk.library.write("lead:lena", async ({ update }) => {
    await update("frame", frame, { sensitive: '["evidence"]' });
    return { value: null, deed: { act: "access.mark", subject: `request/${leg}` } };
  });
  assert.match(await refusal(), /It is evidence/);
  assert.equal((await originalsIn(desk)).length, 3);
});

test("killed between log and bytes, verify tells of it and the next run ends it", async (t) => {
  const { desk, leg } = await tenYearsLater(t);
  const { originals } = desk.library;
  const broken: Desk = {
    ...desk,
    library: {
      ...desk.library,
      originals: { ...originals, destroy: () => Promise.reject(new Error("killed")) },
    },
  };
  const destroying = { requestId: leg, frameIds: null, because: "over", practice: PRACTICE };
  await assert.rejects(destroyPictures(broken, LEAD, destroying), /killed/);
  assert.equal((await originalsIn(desk)).length, 3);
  assert.match((await faultsOf(desk)).join(), /the record says that it was destroyed/);
  assert.equal((await finishDestroying(desk)).originals, 3);
  assert.deepEqual(await faultsOf(desk), []);
  assert.equal((await finishDestroying(desk)).originals, 0);
});

/** A library of 2026, opened ten years later. */
async function tenYearsLater(t: TestContext) {
  const folder = join(await temporaryFolder(t), "library");
  const then = await openDesk(folder, { clock: () => NOON });
  const { leg } = await addTwoRequests(then);
  const card = await makeCard(join(await temporaryFolder(t), "card"), {
    "DCIM/100CLINI/DSC_0001.JPG": { taken: "2026:03:15 09:00:00", codes: [LEG_LABEL] },
    "DCIM/100CLINI/DSC_0002.JPG": { taken: "2026:03:15 09:01:00" },
    "DCIM/100CLINI/DSC_0003.JPG": { taken: "2026:03:15 09:02:00" },
  });
  await takeAll(then, [card]);
  await then.close();
  const desk = await openDesk(folder, { clock: () => new Date("2036-03-15T12:00:00Z") });
  t.after(() => desk.close());
  const row = await desk.library.read
    .selectFrom("request")
    .select("patient_id")
    .where("id", "=", leg)
    .executeTakeFirstOrThrow();
  return { desk, folder, leg, patient: row.patient_id as string };
}

async function framesOf(desk: Desk, requestId: string): Promise<string[]> {
  const rows = await desk.library.read
    .selectFrom("frame")
    .select("id")
    .where("request_id", "=", requestId)
    .orderBy("position")
    .execute();
  return rows.map(({ id }) => id);
}

const originalsIn = (desk: Desk) => all(desk.library.originals.list());

async function all<T>(from: AsyncIterable<T>): Promise<T[]> {
  const items: T[] = [];
  for await (const item of from) items.push(item);
  return items;
}

function reasonOf(outcome: Outcome<unknown>): string {
  assert.equal(outcome.done, false);
  return outcome.done ? "" : outcome.reason;
}
