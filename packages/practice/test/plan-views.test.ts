import assert from "node:assert/strict";
import { test } from "node:test";
import { planViews } from "../src/plan-views.ts";
import { parsePractice } from "../src/practice.ts";
import { viewOf } from "./views.ts";

const practice = (views = [viewOf({})]) => ({
  department: "Invented department",
  version: 3,
  sensor: { widthMm: 36, heightMm: 24 },
  circleOfConfusionMm: 0.03,
  tolerances: { ratioPercent: 5, seriesRatioPercent: 2, leanDeg: 6, scaleHeightMm: 4 },
  viewSets: [{ key: "leg", name: "Leg wound", version: 2, purpose: "series", views }],
});

test("1:10 on 36 x 24 mm covers 36 x 24 cm, and an upright frame 24 x 36 cm", () => {
  // Plastic Surgery Educational Foundation chart, calibration step 1 (published: OPT-32)
  const views = [
    viewOf({ key: "a", magnification: 0.1 }),
    viewOf({ key: "b", magnification: 0.1, orientation: "portrait" }),
  ];
  const checked = parsePractice(practice(views), "test");
  const plan = planViews(checked.viewSets[0]!, checked);
  assert.deepEqual(plan.views[0]!.fieldMm, { width: 360, height: 240 });
  assert.deepEqual(plan.views[1]!.fieldMm, { width: 240, height: 360 });
});

test("a plan says from which versions it was made", () => {
  const checked = parsePractice(practice(), "test");
  const plan = planViews(checked.viewSets[0]!, checked);
  assert.deepEqual(plan.viewSet, { key: "leg", version: 2, name: "Leg wound" });
  assert.equal(plan.practiceVersion, 3);
});

test("cautions of a view come out in words", () => {
  const checked = parsePractice(practice([viewOf({ cautions: ["flash-near-eyes"] })]), "test");
  assert.match(planViews(checked.viewSets[0]!, checked).views[0]!.cautions[0]!, /ask the clinician/);
});

test("every wrong field of a practice file is named", () => {
  const wrong = practice([viewOf({ magnification: 40, key: "Close Up" })]);
  assert.throws(
    () => parsePractice({ ...wrong, version: 0 }, "leg.json"),
    (error: Error) =>
      ["leg.json", "version", "magnification", "key"].every((word) => error.message.includes(word)),
  );
  for (const value of [null, 7, [], "text", { viewSets: [] }]) {
    assert.throws(() => parsePractice(value, "x.json"), { code: "PRACTICE_INVALID" });
  }
});

test("two view sets with one key are refused", () => {
  const one = practice();
  assert.throws(
    () => parsePractice({ ...one, viewSets: [...one.viewSets, ...one.viewSets] }, "x"),
    /two view sets/,
  );
});
