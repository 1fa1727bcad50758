import assert from "node:assert/strict";
import { mkdir, readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { test } from "node:test";
import { applyHomography, imagePoint } from "@samescale/geometry";
import sharp from "sharp";
import {
  checkVisit,
  doneOrThrow,
  makeGhosts,
  planOfRequest,
  type Repeat,
  repeatRequest,
} from "../../src/index.ts";
import { faultsOf, MARA } from "../support.ts";
import { addVisit, BASELINE_DAY, makeFrame, plannedWound, SIZE, type Wounded } from "./support.ts";

const repeatOf = async (
  { desk, pool, requestId, practice }: Wounded,
  more: Omit<Parameters<typeof repeatRequest>[3], "requestId"> = {},
) => repeatRequest(desk, MARA, pool, { requestId, ...more }, practice);

const closeUp = ({ plan }: Repeat) => plan.views.find(({ view }) => view.key === "close-up")!;

/** Outline of the wound, px. */
const outlineOf = (truth: Awaited<ReturnType<typeof makeFrame>>) =>
  truth.things.flatMap(({ regions }) => regions).find(({ name }) => name === "wound")!.outlinePx;

test("a follow-up made by the repeat plan with another body and lens lies over the baseline and on its ghost", async (t) => {
  const wounded = await plannedWound(t);
  const { desk, pool, practice, requestId, folder } = wounded;
  const card = join(folder, "card");
  await mkdir(card);
  // Planned 1:4; a first try far off, made again at 1:4.15.
  await makeFrame(join(card, "F0001.JPG"), 0, { magnification: 1 / 5.2, widthPx: 900, heightPx: 600 });
  const truth = await makeFrame(join(card, "F0002.JPG"), 0, { magnification: 1 / 4.15, leanXDeg: 1 });
  await addVisit(wounded, BASELINE_DAY, card);

  const repeat = doneOrThrow(await repeatOf(wounded, { wishes: { body: "body-2" }, save: true }));
  const planned = closeUp(repeat);
  assert.equal(planned.repeats?.frame.name, "F0002.JPG");
  assert.ok(Math.abs(planned.repeats.reached.magnification.value * 4.15 - 1) < 0.005);
  assert.equal(planned.lens.id, "macro-60");

  const { sensor } = repeat.plan.body;
  const heightPx = Math.round((SIZE.widthPx * sensor.heightMm) / sensor.widthMm);
  const followup = join(folder, "followup.jpg");
  const after = await makeFrame(followup, 1, {
    magnification: planned.magnification,
    focalMm: planned.focalMm,
    fNumber: planned.fNumber,
    sensorMm: { width: sensor.widthMm, height: sensor.heightMm },
    heightPx,
  });
  const { frame, scale } = repeat.frames.get("close-up")!;
  const baseline = await desk.library.originals.localFile(frame.sha256);
  const scales = { baseline: scale, followup: await pool.run("scale", { file: followup }) };
  const aligned = await pool.run("align", { baseline, followup, scales });
  assert.ok(aligned.aligned, "reason" in aligned ? aligned.reason : "");
  // As many pixels across the same field: the same size in pixels, whatever the sensor.
  assert.ok(Math.abs(aligned.scaleChange - 1) < 0.01, `scale change ${aligned.scaleChange}`);

  const ghosts = join(folder, "ghosts");
  const wanted = { requestId, repeat, practice, folder: ghosts };
  doneOrThrow(await makeGhosts(desk, MARA, pool, wanted));
  const names = ["close-up-framing.jpg", "close-up-ghost.png", "recipe.json"];
  assert.deepEqual((await readdir(ghosts)).sort(), names);
  const { pictures } = JSON.parse(await readFile(join(ghosts, "recipe.json"), "utf8"));
  assert.deepEqual(pictures[0].from, [frame.sha256]);
  const { width = 0 } = await sharp(join(ghosts, "close-up-ghost.png")).metadata();
  // The wound's rim of then, as the ghost shows it, against the follow-up's: within 1 % of the frame's width.
  const k = width / SIZE.widthPx;
  const now = outlineOf(after);
  const off = outlineOf(truth).map(([x, y], i) => {
    const at = applyHomography(pictures[0].baselineToGhost, imagePoint(x, y));
    return Math.hypot(at.x - k * now[i]![0], at.y - k * now[i]![1]);
  });
  assert.ok(Math.max(...off) < 0.01 * width, `${Math.max(...off)} of ${width} px`);

  assert.equal(repeat.revision, 2);
  const plan = (await planOfRequest(desk, MARA, requestId))!;
  assert.deepEqual(plan.views, JSON.parse(JSON.stringify(repeat.plan.views)));
  // The baseline still rules, and what was planned for it is what was planned then; without a wish the kit is that of then.
  const again = closeUp(doneOrThrow(await repeatOf(wounded)));
  assert.equal(again.repeats?.planned.magnification, 0.25);
  assert.equal(again.lens.id, "macro-100");
  assert.ok(Math.abs(again.magnification * 4.15 - 1) < 0.005);

  await assert.rejects(makeGhosts(desk, MARA, pool, wanted), { code: "PICTURES_EXIST" });
  const refused = await makeGhosts(desk, { name: "eve", role: "viewer" }, pool, {
    ...wanted,
    folder: `${ghosts}-2`,
  });
  assert.equal(refused.done, false);
  await assert.rejects(readdir(`${ghosts}-2`));
  const acts = await desk.library.read.selectFrom("act").select(["act", "details"]).execute();
  const made = acts.filter(({ act }) => act === "ghosts.make");
  assert.equal(made.length, 1);
  assert.match(made[0]!.details, /close-up-ghost\.png/);
  assert.deepEqual(await faultsOf(desk), []);
});

test("what cannot be repeated is refused in words", async (t) => {
  const wounded = await plannedWound(t);
  const { desk, pool, requestId, practice } = wounded;
  const reasonOf = async (...of: Parameters<typeof repeatOf>) => {
    const outcome = await repeatOf(...of);
    assert.equal(outcome.done, false);
    return "reason" in outcome ? outcome.reason : "";
  };
  assert.match(await reasonOf(wounded), /has no visit yet/);
  const visitId = await addVisit(wounded, BASELINE_DAY, null);
  assert.match(await reasonOf(wounded), /no picture belongs to a view of the plan/);
  const plan = (await planOfRequest(desk, MARA, requestId))!;
  await checkVisit(desk, MARA, pool, { visitId, plan, tolerances: practice.tolerances });
  assert.match(await reasonOf(wounded, { date: BASELINE_DAY }), /^Of 2026-03-02 no picture/);
  assert.match(await reasonOf(wounded, { date: "2026-04-01" }), /no visit on 2026-04-01; it has 2026-03-02/);
  const none = await repeatRequest(desk, MARA, pool, { requestId: "nobody" }, practice);
  assert.match("reason" in none ? none.reason : "", /has no plan yet/);
});

test("a frame without a reading leaves the planned ratio; a visit that nobody checked is read and not kept; unknown kit is named", async (t) => {
  const wounded = await plannedWound(t);
  const { desk, folder } = wounded;
  const card = join(folder, "card");
  await mkdir(card);
  await makeFrame(join(card, "F0001.JPG"), 0, { widthPx: 900, heightPx: 600 }, false);
  await addVisit(wounded, BASELINE_DAY, card, false);
  const count = async () => (await desk.library.read.selectFrom("act").select("sequence").execute()).length;
  const before = await count();
  const repeat = doneOrThrow(await repeatOf(wounded));
  assert.equal(await count(), before);
  assert.match(repeat.notes[0]!, /never checked: they were read now, and that is not kept/);
  const planned = closeUp(repeat);
  assert.match(planned.repeats!.faults[0]!, /Its ratio was not read \(.*\): the planned 1:4 stands/);
  assert.equal(planned.magnification, 0.25);
  for (const wishes of [{ body: "nobody" }, { lens: "nobody" }, { place: "nowhere" }]) {
    await assert.rejects(repeatOf(wounded, { wishes }), { code: "PLAN_WISHES" });
  }
});
