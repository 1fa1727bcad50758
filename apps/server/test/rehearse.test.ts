import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import type { JudgedRehearsal, RehearsalRoom } from "../src/index.ts";
import { type App, openApp } from "./harness.ts";

const OWN = { host: "127.0.0.1", "x-samescale": "1" };

let app: App;
let room: RehearsalRoom;
before(async () => {
  app = await openApp();
  room = (await app.inject({ url: "/api/rehearse", headers: OWN })).json<RehearsalRoom>();
});
after(() => app.close());

const post = (what: string, payload: object) =>
  app.inject({ method: "POST", url: `/api/rehearse/${what}`, headers: OWN, payload });

test("what is wrong with how the camera is held is said as at the bedside, and the task knows", async () => {
  const task = room.tasks.find(({ key }) => key === "ratio")!;
  const found = (await post("judged", { held: task.start, task: "ratio" })).json<JudgedRehearsal>();
  assert.equal(found.verdict.verdict, "repeat");
  // 540 mm from the skin, 500 wanted: 4 cm, read from a picture that is out of focus as well.
  assert.match(found.verdict.say, /^(Move [345] cm closer|The subject)/);
  assert.equal(found.result?.isDone, false);
  const right = (
    await post("judged", { held: { ...task.start, distanceMm: 500 }, task: "ratio" })
  ).json<JudgedRehearsal>();
  assert.equal(right.verdict.verdict, "keep", right.verdict.say);
  assert.equal(right.result?.isDone, true);
});

test("the quick picture is small and not judged", async () => {
  const quick = (await post("quick", { held: room.heldWell })).json<{ picture: string }>();
  assert.equal(Buffer.from(quick.picture, "base64")[0], 0xff);
  assert.ok(quick.picture.length < 120_000, String(quick.picture.length));
});

test("what no hand can do is refused", async () => {
  for (const wrong of [
    { ...room.heldWell, distanceMm: 1e9 },
    { ...room.heldWell, leanDeg: Number.NaN },
    { ...room.heldWell, focalMm: 35 },
    { ...room.heldWell, light: "none" },
    { ...room.heldWell, more: 1 },
    {},
  ]) {
    assert.equal((await post("quick", { held: wrong })).statusCode, 400);
  }
  assert.equal((await post("judged", { held: room.heldWell, task: "nothing" })).statusCode, 404);
});
