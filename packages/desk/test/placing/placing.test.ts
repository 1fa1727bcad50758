import assert from "node:assert/strict";
import { join } from "node:path";
import { type TestContext, test } from "node:test";
import {
  type Desk,
  doneOrThrow,
  placeFrames,
  storeMeasurement,
  storeSeries,
  storeVerdict,
  undoPlacing,
  waitingFrames,
} from "../../src/index.ts";
import { MORNING } from "../intake/morning.ts";
import {
  addTwoRequests,
  faultsOf,
  freshDesk,
  MARA,
  makeCard,
  placings,
  takeAll,
  temporaryFolder,
} from "../support.ts";

const LEA = { name: "lea", role: "lead" } as const;

async function taken(t: TestContext) {
  const desk = await freshDesk(t);
  const requests = await addTwoRequests(desk);
  const card = await makeCard(join(await temporaryFolder(t), "card"), MORNING);
  await takeAll(desk, [card]);
  const rows = await desk.library.read.selectFrom("frame").select(["id", "name"]).execute();
  const frame = (name: string) => rows.find((row) => row.name === name)!.id;
  return { desk, ...requests, frame, card };
}

const rowsOf = async (desk: Desk) =>
  JSON.stringify(await desk.library.read.selectFrom("frame").selectAll().orderBy("id").execute());

test("what waits is listed with its card, its codes and why, for those who may place it", async (t) => {
  const { desk, frame, card } = await taken(t);
  const [waiting, ...others] = await waitingFrames(desk, MARA);
  assert.deepEqual(others, []);
  const { frameId, name, folder, why, card: from } = waiting!;
  assert.deepEqual(
    [frameId, name, folder, why, from.endsWith(card)],
    [frame("DSC_0001"), "DSC_0001", "DCIM/100CLINI", "No label frame before it", true],
  );
  for (const role of ["viewer", "requester", "auditor", "administrator"] as const) {
    assert.deepEqual(await waitingFrames(desk, { name: "x", role }), []);
  }
});

test("placings are taken back one by one, the last first, to exactly what was before; the log keeps both", async (t) => {
  const { desk, leg, hand, frame } = await taken(t);
  const states = [await rowsOf(desk)];
  const acts = [
    { frameIds: [frame("DSC_0001")], requestId: leg, because: "the day sheet says so" },
    { frameIds: [frame("DSC_0001"), frame("DSC_0003")], requestId: hand, because: "it is a hand" },
    { frameIds: [frame("DSC_0003")], requestId: null, because: "nobody is sure" },
  ];
  for (const act of acts) {
    doneOrThrow(await placeFrames(desk, MARA, act));
    states.push(await rowsOf(desk));
  }
  for (const act of acts.toReversed()) {
    assert.equal(await rowsOf(desk), states.pop());
    const undone = doneOrThrow(await undoPlacing(desk, LEA, null));
    assert.deepEqual(
      [undone.because, undone.doneBy, undone.frames.toSorted()],
      [act.because, "photographer:mara", act.frameIds.toSorted()],
    );
  }
  assert.equal(await rowsOf(desk), states.pop());
  const nothingLeft = await undoPlacing(desk, LEA, null);
  assert.deepEqual(nothingLeft, { done: false, reason: "No placing by hand is left to be undone" });
  const log = await desk.library.read.selectFrom("act").select(["act", "actor"]).execute();
  assert.deepEqual(
    log.filter(({ act }) => act.startsWith("frame.")).map(({ act, actor }) => `${act} ${actor}`),
    [
      ...Array<string>(3).fill("frame.place photographer:mara"),
      ...Array<string>(3).fill("frame.undo lead:lea"),
    ],
  );
  assert.deepEqual(await faultsOf(desk), []);
});

test("a placing after an undo is the last one again", async (t) => {
  const { desk, leg, hand, frame } = await taken(t);
  const place = (requestId: string, because: string) =>
    placeFrames(desk, MARA, { frameIds: [frame("DSC_0001")], requestId, because });
  doneOrThrow(await place(leg, "first"));
  doneOrThrow(await undoPlacing(desk, MARA, null));
  doneOrThrow(await place(hand, "second"));
  assert.equal(doneOrThrow(await undoPlacing(desk, MARA, null)).because, "second");
  assert.equal((await undoPlacing(desk, MARA, null)).done, false);
  assert.deepEqual((await placings(desk))[0], "DSC_0001 -");
});

test("moving lists what had left from a frame, and what was made of it for the other request", async (t) => {
  const { desk, leg, hand, frame } = await taken(t);
  const id = frame("DSC_0003");
  const { sha256 } = await desk.library.read
    .selectFrom("file")
    .select("sha256")
    .where("frame_id", "=", id)
    .where("format", "=", "jpeg")
    .executeTakeFirstOrThrow();
  const recipe = { step: "test", version: 1, parameters: {} };
  const made = async (act: typeof storeSeries, more: object, inputs: readonly string[]) =>
    doneOrThrow(await act(desk, MARA, { ...more, recipe, inputs, body: { of: inputs, ...more } }));
  const measured = await made(storeMeasurement, { frameId: id }, [sha256]);
  await made(storeVerdict, { frameId: id }, [sha256]);
  const series = await made(storeSeries, { requestId: leg }, [measured.sha256]);
  await made(storeSeries, { requestId: hand }, [measured.sha256]); // another request's is not stale
  await desk.library.write("test", async (writing) => {
    const release = {
      request_id: leg,
      patient_id: null,
      scope: "requester",
      purpose: "x",
      publication: null,
    };
    const sent = {
      form: "pictures",
      folder: "x",
      consents: "[]",
      recipe: "{}",
      receipt: "{}",
      expires_on: null,
      recall_because: null,
    };
    await writing.insert("release", {
      id: "release-1",
      ...release,
      ...sent,
      recipient: "Ward 7",
      released_by: "mara",
      made_at: "2026-03-15T13:00:00.000Z",
      recalled_at: null,
    });
    await writing.insert("release_item", {
      id: "item-1",
      release_id: "release-1",
      frame_id: id,
      original: sha256,
      name: "R-1-1.jpg",
      sha256: "0".repeat(64),
      bytes: 1,
    });
    return { value: null, deed: { act: "test.release", subject: "release/release-1" } };
  });
  const move = { frameIds: [frame("DSC_0001"), id], requestId: hand, because: "a stranger's hand" };
  const { released, stale } = doneOrThrow(await placeFrames(desk, MARA, move));
  const left = {
    frameId: id,
    releaseId: "release-1",
    recipient: "Ward 7",
    day: "2026-03-15",
    name: "R-1-1.jpg",
  };
  assert.deepEqual(released, [left]);
  assert.deepEqual(
    stale.map(({ kind, requestId }) => [kind, requestId]),
    [
      ["measurement", leg],
      ["verdict", leg],
      ["series", leg],
    ],
  );
  assert.equal(stale[2]?.id, series.id);
  const back = doneOrThrow(await undoPlacing(desk, MARA, null));
  assert.deepEqual(back.released, [left]);
  // Within one request nothing changes hands.
  const same = doneOrThrow(await placeFrames(desk, MARA, { ...move, frameIds: [id], requestId: leg }));
  assert.deepEqual([same.released, same.stale], [[], []]);
});

test("nobody but photographers and the lead places or undoes", async (t) => {
  const { desk, leg, frame } = await taken(t);
  const place = { frameIds: [frame("DSC_0001")], requestId: leg, because: "x" };
  for (const role of ["viewer", "requester", "auditor", "administrator"] as const) {
    assert.equal((await placeFrames(desk, { name: "x", role }, place)).done, false);
    assert.equal((await undoPlacing(desk, { name: "x", role }, null)).done, false);
  }
});

test("a placing is not undone over a later change of its frames", async (t) => {
  const { desk, leg, frame } = await taken(t);
  const id = frame("DSC_0001");
  doneOrThrow(await placeFrames(desk, MARA, { frameIds: [id], requestId: leg, because: "day sheet" }));
  await desk.library.write("test", async (writing) => {
    await writing.update("frame", id, { visit_id: null });
    return { value: null, deed: { act: "test.change", subject: `frame/${id}` } };
  });
  const undone = await undoPlacing(desk, MARA, null);
  assert.ok(!undone.done && /DSC_0001 .* was changed since it was placed/.test(undone.reason));
});
