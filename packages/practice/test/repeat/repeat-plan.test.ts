import assert from "node:assert/strict";
import { existsSync, readFileSync } from "node:fs";
import { test } from "node:test";
import { formatRatio } from "@samescale/optics";
import { planViews } from "../../src/plan/plan-views.ts";
import { type RepeatWishes, repeatPlan } from "../../src/repeat/repeat-plan.ts";
import { practiceOf, setOf, viewOf } from "../support.ts";
import { doneOf, practice } from "./support.ts";

const BASELINE = { by: "baseline" } as const;

function again(
  [ratio, more]: Parameters<typeof doneOf>,
  wishes: RepeatWishes = {},
  of: typeof practice = practice,
) {
  const { plan, done } = doneOf(ratio, more);
  const repeat = repeatPlan(plan, [done], BASELINE, of, wishes);
  return { repeat, view: repeat.views[0]!, refused: repeat.refused[0]! };
}

function rows(file: string): Record<string, string>[] {
  const [head = "", ...lines] = readFileSync(file, "utf8").trim().split("\n");
  const names = head.split(",");
  return lines.map((line) => Object.fromEntries(line.split(",").map((cell, i) => [names[i]!, cell])));
}

test("the ratio to set is the one that was reached, not the one that was planned; both are said", () => {
  const { view } = again([0.24]);
  assert.ok(Math.abs(view.magnification - 0.24) < 1e-12);
  assert.equal(view.repeats?.says, "1:4.17 ± 0.5 %, read from the picture");
  const ratio = view.repeats?.strayed.find(({ what }) => what === "ratio");
  assert.equal(ratio?.planned, 0.25);
  assert.match(ratio!.says, /^1:4\.17 ± 0\.5 % was reached, 1:4 was planned: the subject is 4 % smaller\./);
  // u = f(1 + 1/m): 516.7 mm against 500 mm
  assert.match(ratio!.says, /stood 17 mm farther off/);
  assert.equal(view.view.origins.ratio?.source, "read from F0001.JPG of 2026-03-02");
});

test("a difference within the reading's own uncertainty is none", () => {
  assert.deepEqual(again([0.2508]).view.repeats?.strayed, []);
});

const OPTICS = "../shared/reference/closeup-optics.csv";
test("the camera stands where the check table of close-up optics has it", {
  skip: existsSync(OPTICS) ? false : "the reference table is not here",
}, () => {
  let compared = 0;
  for (const row of rows(OPTICS)) {
    const [focal, m] = [Number(row.f_mm), Number(row.m)];
    if (focal !== 100 && focal !== 60) continue;
    const { view } = again([m, { file: { focalMm: focal } }], { lens: `m${focal}`, freeMm: 20_000 });
    const expected = Number(row.object_dist_from_front_principal_plane_mm);
    // The table's ratios have six decimals: 1:3 and 1:16 are rounded by up to 1e-6.
    assert.ok(Math.abs(view.objectDistanceMm / expected - 1) < 5e-6, `${row.ratio} at ${focal} mm`);
    compared++;
  }
  assert.ok(compared >= 20);
});

const FIELDS = "../shared/reference/fov-by-ratio.csv";
test("carried to 23.5 x 15.6 mm by the field, the ratio is that of the table of fields", {
  skip: existsSync(FIELDS) ? false : "the reference table is not here",
}, () => {
  let compared = 0;
  for (const row of rows(FIELDS)) {
    const m = Number(row.m);
    if (m > 0.4) continue; // the wide end of what the lenses of the test reach
    const { view } = again([m], { body: "small", freeMm: 50_000 });
    const expected = Number(row["ratio_keeping_36mm_long_side_on_23.5"]!.slice(2));
    assert.ok(Math.abs(1 / view.magnification / expected - 1) < 1e-4, row.ratio_35mm);
    assert.ok(Math.abs(view.fieldMm.width - Number(row["36x24_field_long_mm"])) < 1e-3 / m);
    compared++;
  }
  assert.ok(compared >= 10);
});

test("carried to another body the way and what follows are said; the depth stays by the f-number", () => {
  const { view, repeat } = again([0.25], { body: "small" });
  assert.match(view.repeats!.converted!, /by the field, 144 mm across the long side as then/);
  // 2 N c (1 + m)/m²: 16 · 1.25 · 0.1632² · 36 / (0.25² · 1.1632 · 23.5) = 11.2
  assert.equal(view.fNumber, 11);
  const depth = view.depthOfFieldMm.inFront + view.depthOfFieldMm.behind;
  assert.ok(Math.abs(depth / 19.2 - 1) < 0.06, `${depth}`); // within a third of a stop's half of 19.2 mm
  assert.equal(repeat.repeats.bodySays, "Small, as asked.");
  const kept = again([0.25], { body: "small", keep: "ratio" }).view;
  assert.equal(kept.magnification, 0.25);
  assert.ok(Math.abs(kept.fieldMm.width - 94) < 1e-9); // the same table: 1:4 on 23.5 mm
  assert.match(kept.repeats!.converted!, /94 mm across the long side, not 144 mm/);
});

test("another lens: the perspective follows from the distances alone", () => {
  // u = 500 mm with 100 mm and 300 mm with 60 mm at 1:4; (300 + 40)/300 over (500 + 40)/500 = 1.0494
  const { view } = again([0.25, { view: { reliefMm: 40 } }], { lens: "m60" });
  assert.ok(Math.abs(view.repeats!.perspective.change - 340 / 300 / (540 / 500)) < 1e-12);
  assert.match(view.reasons[0]!, /then it was 100 mm.*changes by 4\.9 % over 4 cm/);
  assert.match(view.warnings[0]!, /more than the 2 % that the practice allows a series/);
  assert.match(view.repeats!.alternatives[0]!, /With the 100 mm: the camera stands where it stood/);
});

test("without a wish the lens of then is taken, else the one that stands nearest to where it stood", () => {
  assert.equal(again([0.25]).view.lens.id, "m100");
  // On the smaller sensor the same field is 1:6.13: 713 mm with 100 mm, 428 mm with 60 mm; then it was 500 mm.
  assert.equal(again([0.25], { body: "small" }).view.lens.id, "m60");
  const broken = practiceOf([["{ id: m100,", "{ id: m100, broken: aperture stuck,"]]);
  const { view } = again([0.25, { view: { reliefMm: 10 } }], {}, broken);
  assert.equal(view.lens.id, "m60");
  assert.match(view.reasons[0]!, /the 100 mm of then cannot be used here/);
  assert.match(view.repeats!.alternatives.join(" "), /aperture stuck/);
});

test("a room without the length for the lens of then: ranked ways out, or refused with them", () => {
  const { view } = again([1 / 12, { view: { reliefMm: 100 } }], { place: "room" });
  assert.equal(view.lens.id, "m60");
  assert.match(view.repeats!.alternatives[0]!, /This room gives 1\.20 m: 1:12 needs 1\.41 m with the 100 mm/);
  assert.match(view.repeats!.alternatives[1]!, /Studio has 5\.00 m/);
  const { refused } = again([1 / 12, { view: { reliefMm: 100 } }], { place: "room", lens: "m100" });
  assert.match(refused.reason, /This room gives 1\.20 m/);
  assert.match(refused.alternatives.at(-1)!, /With the 60 mm: .*perspective changes by/);
});

test("another place changes something where another sensor makes the camera stand elsewhere", () => {
  // 1:18.4 with 100 mm: 1938 mm in place of the 1300 mm of 1:12 on 36 x 24 mm
  const { view } = again([1 / 12, { view: { reliefMm: 100 } }], {
    place: "room",
    freeMm: 1500,
    body: "small",
  });
  assert.equal(view.lens.id, "m60");
  assert.match(
    view.repeats!.alternatives[1]!,
    /^Studio has 5\.00 m: the 100 mm fits there, the camera stands 1\.94 m from the subject, not 1\.30 m/,
  );
});

test("a ratio that was not read leaves the planned one, and says so", () => {
  const picture = { pxPerMm: null, ratio: null, ratioFrom: "No graduations were found.", leanDeg: null };
  const { view } = again([0.2, { picture }]);
  assert.ok(Math.abs(view.magnification - 0.25) < 1e-12);
  assert.match(view.repeats!.faults[0]!, /not read \(no graduations were found\): the planned 1:4 stands/);
  assert.equal(view.repeats!.reached.magnification.by, "plan");
});

test("an unknown sensor does not matter for the field", () => {
  // 6000 px at 40 px/mm are 150 mm, whatever camera made it.
  const picture = {
    pxPerMm: { value: 40, u95: 0.1 },
    ratio: null,
    ratioFrom: "The file does not say how wide the sensor is",
  };
  const { view } = again([0.25, { picture, file: { sensorLongMm: null } }]);
  assert.ok(Math.abs(view.fieldMm.width - 150) < 1e-9);
  assert.match(view.repeats!.faults[0]!, /the field is repeated, which needs no sensor/);
  assert.equal(view.repeats!.reached.sensorLongMm.by, "plan");
});

test("a lean beyond tolerance is not repeated; one within the reading's doubt is told as doubt", () => {
  const leaning = (value: number) =>
    again([0.25, { picture: { leanDeg: { value, u95: 1 } } }]).view.repeats!.faults;
  assert.match(leaning(12)[0]!, /^It leaned 12° \(6° are allowed\): that is not repeated/);
  assert.match(leaning(6.5)[0]!, /^It may have leaned/);
  assert.deepEqual(leaning(5), []);
});

test("what else strayed is named: lens, sensor, f-number, way of holding, scale, chart, flash", () => {
  const { view } = again([
    0.25,
    {
      view: { chart: "in-frame" },
      picture: {
        widthPx: 4000,
        heightPx: 6000,
        chartFound: false,
        scale: { kind: "L", at: { x: 0.5, y: 0.5 }, turnedDeg: 0 },
      },
      file: { focalMm: 60, fNumber: 11, sensorLongMm: 23.5, flashFired: false },
    },
  ]);
  assert.deepEqual(
    new Set(view.repeats!.strayed.map(({ what }) => what)),
    new Set(["sensor", "lens", "f-number", "orientation", "scale", "chart", "flash"]),
  );
  assert.equal(view.view.orientation, "portrait");
  assert.equal(view.fNumber, 11);
  assert.equal(view.lens.id, "m60");
});

test("what is not known of the light is said as not known", () => {
  const { known, notKnown } = again([0.25]).view.repeats!.light;
  assert.deepEqual(known, [
    "Two lights, by the plan: 45° each side",
    "By the file: the flash fired, 1/160 s, f/16, ISO 200.",
  ]);
  assert.deepEqual(notKnown, [
    "Not known: the power of the flash and where it stood, which side the light came from.",
  ]);
  const seen = (value: number) =>
    again([0.25, { picture: { light: { fromDeg: 181, u95Deg: 12, stops: { value, u95: 0.3 } } } }]).view
      .repeats!.light;
  assert.match(seen(0.8).known[2]!, /from the left \(± 12°\), 0\.8 stops/);
  assert.match(seen(0.2).known[2]!, /even, from no side/);
});

test("a view without a scale takes the ratio of its pair", () => {
  const plain = viewOf({ key: "plain", scale: "none", scaleWhere: "", scalePlane: "", pairOf: "view" });
  const { plan, done } = doneOf(0.24);
  const both = planViews(setOf(viewOf({}), plain), practice, { body: "full" });
  const without = {
    ...done,
    name: "F0002.JPG",
    planned: both.views[1]!,
    picture: { ...done.picture, pxPerMm: null, ratio: null, ratioFrom: "No scale", scale: null },
  };
  const repeat = repeatPlan({ ...plan, views: both.views }, [done, without], BASELINE, practice);
  assert.equal(formatRatio(repeat.views[1]!.magnification), "1:4.17");
  assert.match(repeat.views[1]!.repeats!.faults[0]!, /the ratio is that of F0001\.JPG, its pair/);
});

test("a view of which nothing was kept stays as planned, and the body of then is taken again", () => {
  const both = planViews(setOf(viewOf({}), viewOf({ key: "other", magnification: 0.1 })), practice, {
    body: "small",
  });
  const { done } = doneOf(0.24, { body: "small" });
  const repeat = repeatPlan(both, [{ ...done, planned: both.views[0]! }], BASELINE, practice);
  assert.equal(repeat.body.id, "small");
  assert.match(repeat.repeats.bodySays, /23\.5 mm wide, as that of then \(by the file\)/);
  assert.equal(repeat.views[1]?.repeats, null);
  assert.equal(repeat.views[1]?.fieldMm.width, 360);
});

test("unknown lens, body and place are refused by name", () => {
  for (const wishes of [{ lens: "nobody" }, { body: "nobody" }, { place: "nowhere" }]) {
    assert.throws(() => again([0.25], wishes), { code: "PLAN_WISHES" });
  }
});
