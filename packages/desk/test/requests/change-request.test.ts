import assert from "node:assert/strict";
import { test } from "node:test";
import {
  type Actor,
  addRequest,
  cancelRequest,
  changeRequest,
  closeRequest,
  doneOrThrow,
  listRequests,
  type PatientSaid,
  patientStanding,
  reopenRequest,
  requestAsked,
  requestHistory,
} from "../../src/index.ts";
import { addTwoRequests, faultsOf, freshDesk, MARA } from "../support.ts";

const reasonOf = (outcome: { done: true } | { done: false; reason: string }) =>
  outcome.done ? "done" : outcome.reason;

test("a change replaces the fields it names, keeps the others, and the log keeps what stood there", async (t) => {
  const desk = await freshDesk(t);
  const { leg } = await addTwoRequests(desk);
  doneOrThrow(
    await changeRequest(desk, MARA, { requestId: leg, details: { place: "Ward 7", purpose: "ulcer" } }),
  );
  doneOrThrow(
    await changeRequest(desk, MARA, {
      requestId: leg,
      dueDate: "2026-04-01",
      priority: "urgent",
      details: { place: null, cautions: [{ kind: "latex" }] },
    }),
  );
  const request = await requestAsked(desk, MARA, "R-1");
  assert.equal(request?.details.place, undefined);
  assert.equal(request?.details.purpose, "ulcer");
  assert.deepEqual([request?.dueDate, request?.priority], ["2026-04-01", "urgent"]);
  const entries = await desk.library.read
    .selectFrom("act")
    .select("details")
    .where("act", "=", "request.change")
    .execute();
  assert.match(entries.at(-1)?.details ?? "", /"place":"Ward 7"/);
  const count = entries.length;
  doneOrThrow(await changeRequest(desk, MARA, { requestId: leg, priority: "urgent" }));
  assert.equal(
    (await desk.library.read.selectFrom("act").select("act").where("act", "=", "request.change").execute())
      .length,
    count,
    "no act for nothing",
  );
  assert.match(
    reasonOf(await changeRequest(desk, MARA, { requestId: leg, details: { wrad: "7" } })),
    /wrad: /,
  );
  assert.match(
    reasonOf(await changeRequest(desk, MARA, { requestId: leg, dueDate: "soon" })),
    /Expected a day/,
  );
  assert.match(reasonOf(await changeRequest(desk, MARA, { requestId: "x" })), /no request x/);
  assert.deepEqual(await faultsOf(desk), []);
});

test("cancelled, done, open again: each with its reason", async (t) => {
  const desk = await freshDesk(t);
  const { leg, hand } = await addTwoRequests(desk);
  assert.match(reasonOf(await cancelRequest(desk, MARA, { requestId: leg, because: " " })), /Say why/);
  doneOrThrow(await cancelRequest(desk, MARA, { requestId: leg, because: "patient went home" }));
  assert.match(reasonOf(await closeRequest(desk, MARA, { requestId: leg, because: "made" })), /is cancelled/);
  assert.match(
    reasonOf(await changeRequest(desk, MARA, { requestId: leg, priority: "stat" })),
    /is cancelled/,
  );
  doneOrThrow(await reopenRequest(desk, MARA, { requestId: leg, because: "wrong one" }));
  assert.match(reasonOf(await reopenRequest(desk, MARA, { requestId: leg, because: "again" })), /is open/);
  doneOrThrow(await closeRequest(desk, MARA, { requestId: hand, because: "all views made" }));
  assert.deepEqual(
    (await listRequests(desk, MARA, "open")).map(({ code }) => code),
    ["R-1"],
  );
  assert.deepEqual(
    (await listRequests(desk, MARA, "done")).map(({ code }) => code),
    ["R-2"],
  );
  assert.match(
    reasonOf(await cancelRequest(desk, { name: "v", role: "viewer" }, { requestId: leg, because: "x" })),
    /role viewer/,
  );
});

test("a requester asks in their own name, and sees nobody else's", async (t) => {
  const desk = await freshDesk(t);
  await addTwoRequests(desk);
  const ines = { name: "ines", role: "requester", personId: "person-1" } as const;
  const asked = {
    patientId: null,
    kind: "non-clinical",
    requesterId: "person-9",
    details: { occasion: "event" },
  } as const;
  const { code } = doneOrThrow(await addRequest(desk, ines, asked));
  assert.deepEqual(
    (await listRequests(desk, ines, "open")).map((request) => request.code),
    [code],
  );
  assert.equal(await requestAsked(desk, ines, "R-1"), null);
  assert.equal((await listRequests(desk, MARA, "open")).length, 3);
  const clinical = { patientId: null, kind: "clinical" } as const;
  assert.match(reasonOf(await addRequest(desk, ines, clinical)), /needs a patient/);
  assert.match(
    reasonOf(
      await addRequest(desk, ines, { patientId: null, kind: "non-clinical", details: { purpose: 7 } }),
    ),
    /purpose: /,
  );
});

test("what is due first stands first; without a day last", async (t) => {
  const desk = await freshDesk(t);
  for (const [code, dueDate] of [
    ["B", "2026-05-01"],
    ["C", null],
    ["A", "2026-04-01"],
  ] as const) {
    doneOrThrow(await addRequest(desk, MARA, { code, patientId: null, kind: "non-clinical", dueDate }));
  }
  assert.deepEqual(
    (await listRequests(desk, MARA, "open")).map(({ code }) => code),
    ["A", "B", "C"],
  );
});

test("whoever comes second is told who changed what meanwhile, and nothing of theirs is written", async (t) => {
  const desk = await freshDesk(t);
  const { leg } = await addTwoRequests(desk);
  const since = (await requestAsked(desk, MARA, "R-1"))!.version;
  doneOrThrow(await changeRequest(desk, MARA, { requestId: leg, since, details: { place: "Ward 7" } }));
  const bo = { name: "Bo Lund", role: "lead" } as const;
  const second = await changeRequest(desk, bo, { requestId: leg, since, details: { place: "Ward 9" } });
  assert.match(reasonOf(second), /Meanwhile .*changed it on .*place was empty and is "Ward 7"/);
  const now = (await requestAsked(desk, MARA, "R-1"))!;
  assert.equal(now.details.place, "Ward 7");
  doneOrThrow(
    await changeRequest(desk, bo, { requestId: leg, since: now.version, details: { place: "Ward 9" } }),
  );
  const [last, before, first] = await requestHistory(desk, MARA, leg);
  assert.deepEqual(last?.changes, [{ field: "place", before: '"Ward 7"', after: '"Ward 9"' }]);
  assert.deepEqual(before?.changes, [{ field: "place", before: null, after: '"Ward 7"' }]);
  assert.deepEqual([first?.act, first?.changes], ["request.add", []]);
  assert.deepEqual(await requestHistory(desk, { name: "V", role: "viewer" }, leg), []);
});

test("a patient is named by two identifiers: known where both agree, new where the number is, else refused", async (t) => {
  const desk = await freshDesk(t);
  const ask = (patient: PatientSaid, actor: Actor = MARA) =>
    addRequest(desk, actor, { patientId: null, patient, kind: "clinical" });
  const ada = { number: "HN7", authority: "H", name: "Ada Ek", birthDate: "1960-01-02" };
  assert.match(reasonOf(await ask({ ...ada, name: null })), /is new here: the patient's name is needed/);
  doneOrThrow(await ask(ada));
  doneOrThrow(await ask({ ...ada, name: null }));
  assert.match(reasonOf(await ask({ ...ada, birthDate: "1960-02-01" })), /another date of birth/);
  assert.match(reasonOf(await ask({ ...ada, name: null, birthDate: null })), /alone names nobody/);
  const asker = { name: "Dr Ro", role: "requester" } as const;
  assert.match(reasonOf(await ask({ ...ada, birthDate: "1960-02-01" }, asker)), /do not belong together/);
  assert.equal((await desk.library.read.selectFrom("patient").select("id").execute()).length, 1);
  const practice = { patientNumberFormats: [] };
  assert.equal(
    (await patientStanding(desk, MARA, { ...ada, name: null, birthDate: null }, practice)).name,
    null,
  );
  assert.equal(
    (await patientStanding(desk, MARA, { ...ada, name: "EK, ada", birthDate: null }, practice)).state,
    "agrees",
  );
  assert.equal((await patientStanding(desk, MARA, { ...ada, name: null }, practice)).name, "Ada Ek");
  const other = await patientStanding(desk, MARA, { ...ada, birthDate: "1960-02-01" }, practice);
  assert.deepEqual([other.state, other.name], ["differs", null]);
  assert.equal((await patientStanding(desk, asker, ada, practice)).state, "hidden");
  assert.deepEqual(await faultsOf(desk), []);
});
