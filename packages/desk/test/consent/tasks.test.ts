import assert from "node:assert/strict";
import { test } from "node:test";
import {
  answerRecall,
  consentTasks,
  type Desk,
  doneOrThrow,
  noteCapacityRegained,
  refuseConsent,
  withdrawConsent,
} from "../../src/index.ts";
import { MARA } from "../support.ts";
import { answerOf, clockedDesk, give, jobOf, RULES, reasonOf, releaseRow } from "./support.ts";

const on = async (desk: Desk, day: string, rules = RULES) =>
  doneOrThrow(await consentTasks(desk, MARA, day, rules)).map(
    ({ kind, day: due, patient, request }) => `${kind} ${due} ${patient} ${request}`,
  );

const mother = {
  by: { capacity: "parental-responsibility", name: "Ann Example", relation: "mother", child: "agrees" },
} as const;

test("who comes of age is asked from that day on, and not on the day before", async (t) => {
  const { desk, set } = await clockedDesk(t);
  const { requestId } = await jobOf(desk, { birthDate: "2010-05-04" });
  await give(desk, { of: { requestId }, ...mother });
  await give(desk, { of: { requestId }, scope: "health-record", ...mother });
  const task = "majority-reached 2028-05-04 HN10001 R-1";
  assert.deepEqual(await on(desk, "2028-05-03"), ["consent-ends 2028-05-03 HN10001 R-1"]);
  assert.deepEqual(await on(desk, "2028-05-04"), [task]);
  assert.deepEqual(await on(desk, "2026-05-04", { ...RULES, ageOfMajority: 16 }), [task.replace("8", "6")]);
  assert.deepEqual(await on(desk, "2031-01-01"), [task], "until somebody has asked");
  set("2028-05-20T10:00:00.000Z");
  doneOrThrow(await refuseConsent(desk, MARA, answerOf({ of: { requestId } })));
  assert.deepEqual(await on(desk, "2031-01-01"), []);
});

test("born on 29 February: the day on which they come of age is the practice's own", async (t) => {
  const { desk, set } = await clockedDesk(t, "2020-01-01T10:00:00.000Z");
  const { requestId } = await jobOf(desk, { birthDate: "2008-02-29" });
  const february = { ...RULES, leapDayBirthday: "02-28" as const };
  const { until } = await give(desk, { of: { requestId }, ...mother });
  assert.equal(until, "2026-02-28");
  set("2026-02-27T10:00:00.000Z");
  const majority = (day: string, rules = RULES) =>
    on(desk, day, rules).then((tasks) => tasks.filter((says) => says.startsWith("majority")));
  assert.deepEqual(await majority("2026-02-27", february), []);
  assert.deepEqual(await majority("2026-02-28", february), ["majority-reached 2026-02-28 HN10001 R-1"]);
  assert.deepEqual(await majority("2026-02-28"), []);
  assert.deepEqual(await majority("2026-03-01"), ["majority-reached 2026-03-01 HN10001 R-1"]);
  const sixteen = { ...RULES, ageOfMajority: 16 };
  assert.deepEqual(await majority("2024-02-28", sixteen), []);
  assert.deepEqual(await majority("2024-02-29", sixteen), ["majority-reached 2024-02-29 HN10001 R-1"]);
});

test("without a date of birth somebody has to write it down", async (t) => {
  const { desk } = await clockedDesk(t);
  const { requestId } = await jobOf(desk, { birthDate: null });
  await give(desk, { of: { requestId }, ...mother });
  assert.deepEqual(await on(desk, "2026-03-15"), ["birth-date-missing null HN10001 R-1"]);
});

test("who can decide again is asked about all that others decided for them", async (t) => {
  const { desk, set } = await clockedDesk(t);
  const { requestId, patientId } = await jobOf(desk);
  const decided = {
    by: { capacity: "best-interest", name: "Dr Example", policy: "P 3", askAgainOn: "2026-04-01" },
    assessed: { by: "Dr Other", found: "sedated" },
  } as const;
  for (const scope of ["health-record", "requester"] as const) {
    await give(desk, { of: { requestId }, scope, ...decided });
  }
  assert.deepEqual(await on(desk, "2026-03-31"), []);
  assert.deepEqual(await on(desk, "2026-04-01"), Array(2).fill("ask-again 2026-04-01 HN10001 R-1"));
  set("2026-03-20T10:00:00.000Z");
  const regained = { patientId, on: "2026-03-18", assessedBy: "Dr Other", found: "awake, oriented" };
  doneOrThrow(await noteCapacityRegained(desk, MARA, regained));
  assert.deepEqual(await on(desk, "2026-03-17"), []);
  assert.deepEqual(await on(desk, "2026-03-20"), Array(2).fill("capacity-regained 2026-03-18 HN10001 R-1"));
  await give(desk, { of: { requestId }, scope: "health-record" });
  assert.deepEqual(await on(desk, "2026-03-20"), ["capacity-regained 2026-03-18 HN10001 R-1"]);
  doneOrThrow(await refuseConsent(desk, MARA, answerOf({ of: { requestId }, scope: "requester" })));
  assert.deepEqual(await on(desk, "2026-05-01"), []);
  for (const wrong of [{ on: "2026-03-21" }, { on: "2026-02-30" }, { assessedBy: " " }, { patientId: "x" }]) {
    assert.equal((await noteCapacityRegained(desk, MARA, { ...regained, ...wrong })).done, false);
  }
});

test("what ends is told in time, until somebody renews it, withdraws it, or the recipient answers", async (t) => {
  const { desk, set } = await clockedDesk(t);
  const { requestId, patientId, frames } = await jobOf(desk);
  const yes = await give(desk, { of: { requestId }, until: "2026-06-30" });
  const made = { requestId, patientId, scope: "teaching", frames };
  const releaseId = await releaseRow(desk, { ...made, expiresOn: "2026-06-30" });
  const both = ["consent-ends 2026-06-30 HN10001 R-1", "release-ends 2026-06-30 HN10001 R-1"];
  assert.deepEqual(await on(desk, "2026-05-30"), []);
  assert.deepEqual(await on(desk, "2026-05-31"), both);
  assert.deepEqual(await on(desk, "2026-06-30"), both);
  const [after] = doneOrThrow(await consentTasks(desk, MARA, "2026-07-01", RULES));
  assert.match(after?.says ?? "", /may not use the pictures for teaching any more since 2026-06-30/);
  doneOrThrow(await answerRecall(desk, MARA, { releaseId, says: "deleted" }));
  assert.deepEqual(await on(desk, "2026-07-01"), []);
  set("2026-06-01T10:00:00.000Z");
  const renewed = await give(desk, { of: { requestId }, until: "2026-12-31" });
  assert.deepEqual(await on(desk, "2026-06-02"), []);
  doneOrThrow(await withdrawConsent(desk, MARA, { consentId: renewed.id, by: "she" }));
  assert.deepEqual(await on(desk, "2026-12-30"), []);
  assert.equal(reasonOf(await withdrawConsent(desk, MARA, { consentId: yes.id, by: "she" })), "done");
});

test("lists are for those who keep them", async (t) => {
  const { desk } = await clockedDesk(t);
  for (const role of ["viewer", "requester", "administrator"] as const) {
    assert.equal((await consentTasks(desk, { name: "x", role }, "2026-03-15", RULES)).done, false);
  }
  assert.equal((await consentTasks(desk, { name: "x", role: "auditor" }, "2026-03-15", RULES)).done, true);
});
