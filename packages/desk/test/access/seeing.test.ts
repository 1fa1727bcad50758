import assert from "node:assert/strict";
import { test } from "node:test";
import { maySeeFrame, maySeeRequest, seenFrames, seenRequests } from "../../src/access/seeing.ts";
import type { Actor, Role } from "../../src/act/actor.ts";
import type { Desk } from "../../src/desk.ts";
import { addTwoRequests, freshDesk } from "../support.ts";

const NOW = "2026-03-15T12:00:00.000Z";
const somebody = (role: Role, personId: string | null = null): Actor => ({ name: "x", role, personId });

/** Two requests with a frame each; the hand's is sensitive, asked for by ANN, shared with BEA, opened by CLEO. */
async function twoRequests(desk: Desk) {
  const { leg, hand } = await addTwoRequests(desk);
  await desk.library.write("photographer:mara", async (writing) => {
    await writing.update("request", hand, {
      sensitive: '["intimate"]',
      requester_id: "ANN",
      access: '["BEA"]',
    });
    await writing.update("request", leg, { requester_id: "DAN" });
    const grant = { request_id: hand, because: "x", made_at: "2026-03-15T11:00:00.000Z" };
    const until = "2026-03-15T13:00:00.000Z";
    const open = { reviewed_by: null, reviewed_at: null, review: null };
    await writing.insert("access_grant", { id: "g1", actor: "CLEO", ...grant, until, ...open });
    const card = { card_path: "c", begun_at: NOW, finished_at: NOW, abandoned_because: null };
    const clock = { clock_offset_s: null, clock_because: null, clock_by: null };
    await writing.insert("intake", { id: "i1", ...card, ...clock });
    for (const [id, request, sensitive] of [
      ["f-leg", leg, null],
      ["f-leg-face", leg, '["child"]'],
      ["f-hand", hand, null],
      ["f-nobody", null, null],
    ] as const) {
      await writing.insert("frame", {
        ...{ id, intake_id: "i1", folder: "", name: id, position: 1, kind: "picture" },
        ...{ taken_raw: null, taken_camera: null, taken_at: null, clock: "none", codes: null },
        ...{ request_id: request, visit_id: null, placed_by: null, placing: "", flags: "[]", sensitive },
      });
    }
    return { value: null, deed: { act: "test.made", subject: "test/1" } };
  });
  return { leg, hand };
}

test("who sees what: every role, and who was let in", async (t) => {
  const desk = await freshDesk(t);
  const { leg, hand } = await twoRequests(desk);
  const read = desk.library.read;
  const both = [leg, hand].toSorted();
  const pictures = ["f-hand", "f-leg", "f-leg-face", "f-nobody"];
  const cases: readonly [Actor, readonly string[], readonly string[]][] = [
    [somebody("photographer"), both, pictures],
    [somebody("lead"), both, pictures],
    [somebody("auditor"), both, []],
    [somebody("administrator", "BEA"), [], []],
    [somebody("viewer"), [leg], ["f-leg"]],
    [somebody("viewer", "BEA"), both, ["f-hand", "f-leg"]],
    [somebody("viewer", "CLEO"), both, ["f-hand", "f-leg"]],
    [somebody("viewer", "%"), [leg], ["f-leg"]],
    [somebody("requester", "ANN"), [hand], ["f-hand"]],
    [somebody("requester", "DAN"), [leg], ["f-leg", "f-leg-face"]],
    [somebody("requester", "BEA"), [hand], ["f-hand"]],
    [somebody("requester", "CLEO"), [hand], ["f-hand"]],
    [somebody("requester", "EVE"), [], []],
    [somebody("requester"), [], []],
    [somebody("requester", '%"'), [], []],
    [somebody("nobody" as Role, "ANN"), [], []],
  ];
  for (const [actor, requests, frames] of cases) {
    const who = `${actor.role} ${actor.personId}`;
    const seen = await read.selectFrom("request").select("id").where(seenRequests(actor, NOW)).execute();
    assert.deepEqual(seen.map(({ id }) => id).toSorted(), requests, who);
    const looked = await read.selectFrom("frame").select("id").where(seenFrames(actor, NOW)).execute();
    assert.deepEqual(looked.map(({ id }) => id).toSorted(), frames, who);
    for (const id of [leg, hand, "nobody's"])
      assert.equal(await maySeeRequest(read, actor, id, NOW), requests.includes(id), `${who} ${id}`);
    for (const id of [...pictures, "nobody's"])
      assert.equal(await maySeeFrame(read, actor, id, NOW), frames.includes(id), `${who} ${id}`);
  }
});

test("what was opened in an emergency closes by itself, and a clock that jumps back does not open it early", async (t) => {
  const desk = await freshDesk(t);
  const { hand } = await twoRequests(desk);
  const cleo = somebody("viewer", "CLEO");
  for (const [now, seen] of [
    ["2026-03-15T10:59:59.999Z", false],
    ["2026-03-15T11:00:00.000Z", true],
    ["2026-03-15T12:59:59.999Z", true],
    ["2026-03-15T13:00:00.000Z", false],
  ] as const)
    assert.equal(await maySeeRequest(desk.library.read, cleo, hand, now), seen, now);
});
