import assert from "node:assert/strict";
import { test } from "node:test";
import {
  addRequest,
  cancelRequest,
  changeRequest,
  closeRequest,
  doneOrThrow,
  listRequests,
  reopenRequest,
  requestAsked,
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
