import assert from "node:assert/strict";
import { test } from "node:test";
import { PHOTOGRAPHERS, type Role } from "../../src/act/actor.ts";
import { defineAct } from "../../src/act/define-act.ts";
import { doneOrThrow, type Outcome } from "../../src/act/outcome.ts";
import { storeMeasurement, storeReading } from "../../src/derivatives/store-derivative.ts";
import type { Desk } from "../../src/desk.ts";
import { logLines } from "../../src/keep/export-log.ts";
import { addPatient } from "../../src/patients/add-patient.ts";
import { savePlan } from "../../src/plan/save-plan.ts";
import { addRequest } from "../../src/requests/add-request.ts";
import { openVisit } from "../../src/visits/open-visit.ts";
import { addTwoRequests, faultsOf, freshDesk, MARA } from "../support.ts";

const ADA = { number: "HN10001", authority: "H", name: "Ada", birthDate: "1958-11-02" };

async function counts(desk: Desk): Promise<{ acts: number; patients: number }> {
  const acts = await desk.library.read.selectFrom("act").select("sequence").execute();
  const patients = await desk.library.read.selectFrom("patient").select("id").execute();
  return { acts: acts.length, patients: patients.length };
}

function reasonOf(outcome: Outcome<unknown>): string {
  assert.equal(outcome.done, false);
  return (outcome as { reason: string }).reason;
}

test("an act is for those whose role may do it; for others nothing happens and nothing is logged", async (t) => {
  const desk = await freshDesk(t);
  const before = await counts(desk);
  for (const role of ["requester", "viewer", "administrator", "auditor"] as const) {
    const outcome = await addPatient(desk, { name: "x", role }, ADA);
    assert.equal(reasonOf(outcome), `patient.add: not for the role ${role}`);
  }
  assert.deepEqual(await counts(desk), before);
  assert.ok(PHOTOGRAPHERS.every((role: Role) => role === "photographer" || role === "lead"));
});

test("an act that lets something out asks for consent in its own transaction, and a refusal leaves nothing", async (t) => {
  const desk = await freshDesk(t);
  let ran = 0;
  const release = defineAct<{ readonly number: string }, null>({
    name: "test.release",
    may: PHOTOGRAPHERS,
    async consent({ number }, { tables }) {
      const patient = await tables
        .selectFrom("patient")
        .select("name")
        .where("number", "=", number)
        .executeTakeFirst();
      return patient ? null : "No consent of this patient is known";
    },
    async run(_, { newId }) {
      ran++;
      return { value: null, deed: { act: "test.release", subject: `release/${newId()}` } };
    },
  });
  const before = await counts(desk);
  assert.equal(
    reasonOf(await release(desk, MARA, { number: "HN10001" })),
    "No consent of this patient is known",
  );
  assert.deepEqual([ran, await counts(desk)], [0, before]);
  await addPatient(desk, MARA, ADA);
  assert.equal((await release(desk, MARA, { number: "HN10001" })).done, true);
  assert.equal(ran, 1);
});

test("the log names who did it and in which role", async (t) => {
  const desk = await freshDesk(t);
  await addPatient(desk, { name: "dov", role: "lead" }, ADA);
  const last = await desk.library.read
    .selectFrom("act")
    .selectAll()
    .orderBy("sequence", "desc")
    .executeTakeFirstOrThrow();
  assert.deepEqual(
    [last.actor, last.act, last.time],
    ["lead:dov", "patient.add", "2026-03-15T12:00:00.000Z"],
  );
});

test("a patient is one number of one authority", async (t) => {
  const desk = await freshDesk(t);
  const { id } = doneOrThrow(await addPatient(desk, MARA, ADA));
  assert.equal(reasonOf(await addPatient(desk, MARA, ADA)), `HN10001 of H is already a patient here: ${id}`);
  assert.equal((await addPatient(desk, MARA, { ...ADA, authority: "K" })).done, true);
  for (const wrong of [
    { ...ADA, number: " " },
    { ...ADA, number: "HN\u001b[2J1" },
    { ...ADA, name: "Ada\u202eadA" },
    { ...ADA, name: "\ud800" },
    { ...ADA, number: "7", birthDate: "1958-02-30" },
    { ...ADA, number: "7", birthDate: "2.11.1958" },
  ]) {
    assert.equal((await addPatient(desk, MARA, wrong)).done, false, JSON.stringify(wrong));
  }
  assert.throws(() => doneOrThrow({ done: false, reason: "no" }), { code: "ACT_REFUSED", message: "no" });
});

test("a request has a code that can be printed, its own, and a patient when it is clinical", async (t) => {
  const desk = await freshDesk(t);
  const { id: patientId } = doneOrThrow(await addPatient(desk, MARA, ADA));
  const first = doneOrThrow(await addRequest(desk, MARA, { patientId, kind: "clinical" }));
  assert.match(first.code, /^R-[0-9A-Z]{8}$/);
  const requester = { name: "ward 7", role: "requester" } as const;
  assert.equal((await addRequest(desk, requester, { patientId, kind: "clinical" })).done, true);
  assert.equal((await addRequest(desk, MARA, { code: "R-1", patientId, kind: "clinical" })).done, true);
  assert.match(
    reasonOf(await addRequest(desk, MARA, { code: "R-1", patientId, kind: "clinical" })),
    /already/,
  );
  assert.match(
    reasonOf(await addRequest(desk, MARA, { code: "r 1", patientId, kind: "clinical" })),
    /capitals/,
  );
  assert.match(
    reasonOf(await addRequest(desk, MARA, { patientId: null, kind: "clinical" })),
    /needs a patient/,
  );
  assert.match(reasonOf(await addRequest(desk, MARA, { patientId: "x", kind: "clinical" })), /no patient x/);
  assert.match(
    reasonOf(await addRequest(desk, MARA, { patientId, kind: "clinical", dueDate: "soon" })),
    /soon/,
  );
  assert.equal((await addRequest(desk, MARA, { patientId: null, kind: "non-clinical" })).done, true);
});

test("every saving of a plan is a revision of its own, the earlier ones stay", async (t) => {
  const desk = await freshDesk(t);
  const { leg, hand } = await addTwoRequests(desk);
  const save = (requestId: string, views: number) =>
    savePlan(desk, MARA, { requestId, format: "views/1", body: { views } });
  assert.equal(doneOrThrow(await save(leg, 3)).revision, 1);
  assert.equal(doneOrThrow(await save(leg, 4)).revision, 2);
  assert.equal(doneOrThrow(await save(hand, 5)).revision, 1);
  const plans = await desk.library.read
    .selectFrom("plan")
    .select(["revision", "body"])
    .where("request_id", "=", leg)
    .execute();
  assert.deepEqual(plans.map((plan) => plan.body).sort(), ['{"views":3}', '{"views":4}']);
  assert.match(
    reasonOf(await savePlan(desk, MARA, { requestId: "x", format: "views/1", body: {} })),
    /no request x/,
  );
  assert.match(
    reasonOf(await savePlan(desk, MARA, { requestId: leg, format: "views", body: {} })),
    /views\/1/,
  );
});

test("a visit needs a request and a day of the calendar", async (t) => {
  const desk = await freshDesk(t);
  const { leg } = await addTwoRequests(desk);
  assert.equal((await openVisit(desk, MARA, { requestId: leg, date: "2026-03-15" })).done, true);
  assert.match(reasonOf(await openVisit(desk, MARA, { requestId: leg, date: "2026-02-29" })), /2026-02-29/);
  assert.match(reasonOf(await openVisit(desk, MARA, { requestId: "x", date: "2026-03-15" })), /no request x/);
});

test("a derivative says of what it is, how it was made and from what; else it is not kept", async (t) => {
  const desk = await freshDesk(t);
  const { leg } = await addTwoRequests(desk);
  const bytes = Buffer.from("an original");
  const put = await desk.library.originals.put({
    name: "x",
    async *read() {
      yield bytes;
    },
  });
  assert.ok(put.state === "stored");
  const { sha256 } = put;
  await desk.library.write("photographer:mara", async (writing) => {
    const file = { sha256, bytes: bytes.length, name: "x", format: "jpeg", frame_id: null, info: null };
    await writing.insert("file", { ...file, stored_at: "2026-03-15T12:00:00.000Z" });
    return { value: null, deed: { act: "file.store", subject: `file/${sha256}` } };
  });
  const reading = {
    requestId: leg,
    recipe: { step: "scale", version: 3, parameters: { near: [1, 2], none: undefined } },
    inputs: [sha256],
    body: { found: true, pxPerMm: { value: 12.25, u95: 0.02 } },
  };
  const stored = doneOrThrow(await storeReading(desk, MARA, reading));
  const measured = { ...reading, inputs: [stored.sha256, sha256], body: { areaMm2: 321 } };
  assert.equal((await storeMeasurement(desk, MARA, measured)).done, true);
  for (const [wrong, why] of [
    [{ ...reading, requestId: "x" }, /no request x/],
    [{ ...reading, frameId: "x" }, /no frame x/],
    [{ ...reading, inputs: [] }, /what it was made from/],
    [{ ...reading, inputs: ["0".repeat(64)] }, /not in the library/],
    [{ ...reading, recipe: { step: "", version: 1, parameters: {} } }, /step/],
    [{ ...reading, recipe: { step: "scale", version: 1.5, parameters: {} } }, /version/],
    [{ recipe: reading.recipe, inputs: [sha256], body: {} }, /no frame and no request/],
  ] as const) {
    assert.match(reasonOf(await storeReading(desk, MARA, wrong)), why);
  }
  assert.deepEqual(await faultsOf(desk), []);
});

test("the log leaves as lines of which each begins with the hash of the one before", async (t) => {
  const desk = await freshDesk(t);
  await addTwoRequests(desk);
  const lines: string[] = [];
  for await (const line of logLines(desk)) lines.push(line);
  const rows = await desk.library.read.selectFrom("act").selectAll().orderBy("sequence").execute();
  assert.equal(lines.length, rows.length);
  assert.ok(lines[0]?.startsWith(`${"0".repeat(64)} {"act":"library.make"`));
  for (const [at, line] of lines.entries()) assert.equal(line.slice(0, 64), rows[at]?.previous);
});
