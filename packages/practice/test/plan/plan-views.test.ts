import assert from "node:assert/strict";
import { existsSync, readFileSync } from "node:fs";
import { test } from "node:test";
import { formatRatio, objectDistanceMm } from "@samescale/optics";
import { planViews } from "../../src/plan/plan-views.ts";
import { practiceOf, setOf, viewOf } from "../support.ts";

const practice = practiceOf();
const planOf = (
  view: Parameters<typeof viewOf>[0],
  wishes: Parameters<typeof planViews>[2] = {},
  of = practice,
) => planViews(setOf(viewOf(view)), of, wishes);
const viewPlanned = (...of: Parameters<typeof planOf>) => {
  const [view] = planOf(...of).views;
  assert.ok(view, "the view was refused");
  return view;
};

test("1:10 on 36 x 24 mm covers 36 x 24 cm, and an upright frame 24 x 36 cm", () => {
  // Plastic Surgery Educational Foundation chart, calibration step 1 (published: OPT-32)
  assert.deepEqual(viewPlanned({ magnification: 0.1 }).fieldMm, { width: 360, height: 240 });
  assert.deepEqual(viewPlanned({ magnification: 0.1, orientation: "portrait" }).fieldMm, {
    width: 240,
    height: 360,
  });
});

test("1:1 shows life size on the sensor (common practice, no source): the field is the sensor", () => {
  assert.deepEqual(viewPlanned({ magnification: 1 }).fieldMm, { width: 36, height: 24 });
});

test("the lens is at least twice the sensor's diagonal: 86.5 mm for 36 x 24, 56.4 mm for 23.5 x 15.6", () => {
  // Behr, Aitson and Hoffman on the Cardiff scales
  const full = viewPlanned({});
  assert.equal(full.lens.id, "m100");
  assert.match(full.reasons[0]!, /86\.5 mm/);
  const small = viewPlanned({}, { body: "small" });
  assert.equal(small.lens.id, "m60");
  assert.match(small.reasons[0]!, /56\.4 mm/);
});

test("the same field on a smaller sensor is another ratio: 1:10 becomes 1:15.32 on 23.5 mm; the same ratio stays", () => {
  // reference table of fields: 1:10 on 36 mm and 1:15.32 on 23.5 mm show the same long side (computed there)
  const field = viewPlanned({ magnification: 0.1 }, { body: "small" });
  assert.equal(formatRatio(field.magnification), "1:15.3");
  assert.ok(Math.abs(field.fieldMm.width - 360) < 1e-9);
  assert.match(field.carried!, /Same field/);
  const ratio = viewPlanned({ magnification: 0.1, onSmallerSensor: "same-ratio" }, { body: "small" });
  assert.equal(ratio.magnification, 0.1);
  assert.equal(ratio.fieldMm.width, 235);
});

test("distances and depth of field are those of the computed check table, 100 mm at 1:10 and f/11", () => {
  // trade-facts 1.3 and dof-worked "100mm f/11 c0.03 s1100": u 1100 mm, near 1064.86, far 1137.539
  const view = viewPlanned({ magnification: 0.1, fNumber: 11 });
  assert.equal(view.objectDistanceMm, 1100);
  assert.ok(Math.abs(1100 - view.depthOfFieldMm.inFront - 1064.86) < 0.005);
  assert.ok(Math.abs(1100 + view.depthOfFieldMm.behind - 1137.539) < 0.005);
  assert.ok(Math.abs(view.effectiveFNumber - 12.1) < 1e-9);
});

test("a room that is too short is refused with what each lens needs, and ways out, best first", () => {
  // object to image distance f(2 + m + 1/m): 2205 mm with 100 mm and 1323 mm with 60 mm at 1:20
  const { views, refused } = planOf({ magnification: 1 / 20, reliefMm: 200 }, { place: "room" });
  assert.equal(views.length, 0);
  const [view] = refused;
  assert.equal(
    view?.reason,
    "This room gives 1.20 m: 1:20 needs 2.21 m with the 100 mm and 1.32 m with the 60 mm.",
  );
  assert.match(view!.alternatives[0]!, /^Studio has 5\.00 m: the 100 mm fits there, nothing changes\.$/);
  // (1260 + 200)/1260 against (2100 + 200)/2100: 5.8 % more
  assert.match(
    view!.alternatives[1]!,
    /^With 12 cm more room the 60 mm fits\. Perspective changes by 5\.8 % over 20 cm/,
  );
  assert.match(view!.alternatives.at(-1)!, /overlapping frames/);
});

test("where only the shorter macro fits it is taken, and what that changes is said (common practice, no source)", () => {
  const view = viewPlanned({ magnification: 1 / 20, reliefMm: 200 }, { freeMm: 1500 });
  assert.equal(view.lens.id, "m60");
  assert.equal(view.objectDistanceMm, objectDistanceMm(60, 1 / 20));
  assert.match(
    view.reasons[0]!,
    /^60 mm from closer by: 1:20 needs 2\.21 m with the 100 mm, and Studio gives 1\.50 m\. Perspective changes by 5\.8 %/,
  );
});

test("a wide lens is not taken for a clinical view, whatever the room; a room is another matter (common practice, no source)", () => {
  const short = planOf({ magnification: 1 / 20 }, { freeMm: 900 });
  assert.equal(short.views.length, 0);
  assert.ok(short.refused[0]!.alternatives.every((says) => !says.includes("24 mm fits")));
  const room = viewPlanned({ magnification: 1 / 20, lens: "room", light: "there" }, { freeMm: 900 });
  assert.equal(room.lens.id, "w24");
});

test("a ratio beyond every lens is refused with the nearest that can be had", () => {
  const [refused] = planOf({ magnification: 2 }).refused;
  assert.match(refused!.reason, /reaches 1:1 at most/);
  assert.match(refused!.alternatives[0]!, /plan the view at that ratio/);
});

test("what is broken or away is not planned with; a plan for nothing but that is refused in words", () => {
  const broken = practiceOf([["name: 100 mm,", "name: 100 mm, broken: dropped,"]]);
  assert.equal(viewPlanned({}, {}, broken).lens.id, "m60");
  assert.match(viewPlanned({}, {}, broken).reasons[0]!, /100 mm is broken: dropped/);
  const gone = practiceOf([["pixels: 6000x4000 }", "pixels: 6000x4000, away: lent to theatre }"]]);
  assert.throws(() => planOf({}, {}, gone), {
    code: "PLAN_WISHES",
    message: /Full is away: lent to theatre/,
  });
  const [refused] = planOf({ magnification: 0.25 }, { lens: "m100" }, broken).refused;
  assert.match(refused!.alternatives[0]!, /put right or back/);
});

test("an f-number for a wanted depth balances defocus and diffraction; a depth that cannot be had is said", () => {
  // 20 mm at 1:4: balanced near f/14 with c 0.03 mm; at 1:1 the greatest sharp depth is 0.67 mm (Hansma 1996, Peterson 1996)
  const reached = viewPlanned({ fNumber: undefined, depthMm: 10 });
  assert.ok(reached.depth?.reached);
  const not = viewPlanned({ magnification: 1, fNumber: undefined, depthMm: 20 });
  assert.equal(not.depth?.reached, false);
  assert.match(not.warnings[0]!, /^Only .* of 20 mm are sharp at 1:1/);
});

test("the lens's own f-numbers bound the plan", () => {
  const view = viewPlanned({ magnification: 0.25, fNumber: 32 }, { lens: "m60" });
  assert.equal(view.fNumber, 22);
  assert.match(view.warnings.join(" "), /closes to f\/22/);
});

test("the ring's starting power follows N = GN √p / (d (1 + m)): GN 12 at f/16, 0.5 m and 1:4 takes 0.69 of it", () => {
  // Ray 2002: N = 12/(0.5 · 1.25) = 19.2 at full power, so f/16 takes (16/19.2)² = 0.69 of it
  const { flash } = viewPlanned({ light: "ring" });
  assert.deepEqual(flash?.flashes, [{ id: "ring", name: "Ring" }]);
  assert.equal(flash?.distanceMm, 500);
  assert.equal(flash?.iso, 100);
  assert.ok(flash!.powerPart <= 2 && flash!.powerPart >= 1);
});

test("two heads add their light, a missing one is said, and too little light raises the ISO", () => {
  const two = viewPlanned({ magnification: 0.1 }).flash!;
  // (16 · 1.1 · 1.1)² / (2 · 32²) = 0.18: near 1/4 or 1/8 each
  assert.ok([4, 8].includes(two.powerPart), String(two.powerPart));
  const one = practiceOf([["name: Side B,", "name: Side B, broken: tube,"]]);
  assert.match(viewPlanned({ magnification: 0.1 }, {}, one).flash!.says, /Only 1 of 2 heads/);
  const far = viewPlanned({ magnification: 1 / 40, light: "ring" }).flash!;
  assert.ok(far.iso > 100);
});

test("between two marks of the barrel both are named; no marks are said", () => {
  assert.equal(viewPlanned({ magnification: 0.25 }).barrel, "Set 1:4, then move until it is sharp.");
  assert.equal(
    viewPlanned({ magnification: 0.2 }).barrel,
    "Set 1:5, between 1:4 and 1:10, then move until it is sharp.",
  );
  assert.match(viewPlanned({ magnification: 0.2 }, { lens: "m60" }).barrel, /No ratios are marked/);
});

test("a view of either side needs the side, and gets it", () => {
  assert.throws(() => planOf({ side: "either" }), { code: "PLAN_WISHES", message: /left or the right/ });
  assert.equal(viewPlanned({ side: "either" }, { side: "right" }).view.side, "right");
});

test("unknown places, bodies and lenses are refused with what there is; nonsense lengths too", () => {
  assert.throws(() => planOf({}, { place: "moon" }), /There is no place moon; there are studio, room/);
  assert.throws(() => planOf({}, { body: "x" }), /full, small/);
  assert.throws(() => planOf({}, { lens: "x" }), /m100, m60, w24/);
  for (const freeMm of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
    assert.throws(() => planOf({}, { freeMm }), { code: "PLAN_WISHES" });
  }
});

test("a light set-up that the practice has given up is named, not stumbled over", () => {
  assert.throws(() => planOf({ light: "gas-lamps" }), {
    code: "PLAN_WISHES",
    message: /gas-lamps.*two-sides, ring, there/,
  });
});

test("a plan says from which versions it was made, and how long it takes", () => {
  const plan = planOf({ minutes: 2.5 });
  assert.deepEqual(plan.viewSet, { key: "set", version: 2, name: "Set" });
  assert.equal(plan.practiceVersion, 3);
  assert.equal(plan.minutes, 7.5);
});

test("fields and carried ratios are those of the table of fields by ratio, on four sensors", (t) => {
  const path = new URL("../../../../../shared/reference/fov-by-ratio.csv", import.meta.url);
  if (!existsSync(path)) return t.skip("../shared/reference is not here");
  const [head, ...rows] = readFileSync(path, "utf8")
    .trim()
    .split("\n")
    .map((line) => line.split(","));
  const column = (name: string) => head!.indexOf(name);
  for (const row of rows) {
    const magnification = Number(row[column("m")]);
    if (magnification > 1) continue;
    const wishes = { freeMm: 100_000 };
    for (const [body, sensor] of [
      ["full", "36x24"],
      ["small", "23.5x15.6"],
    ] as const) {
      const view = viewPlanned({ magnification, onSmallerSensor: "same-ratio" }, { ...wishes, body });
      near(view.fieldMm.width, Number(row[column(`${sensor}_field_long_mm`)]));
      near(view.fieldMm.height, Number(row[column(`${sensor}_field_short_mm`)]));
    }
    const kept = viewPlanned({ magnification }, { ...wishes, body: "small" });
    near(1 / kept.magnification, Number(row[column("ratio_keeping_36mm_long_side_on_23.5")]!.slice(2)));
  }
  function near(is: number, printed: number) {
    // The table prints m to six digits and ratios to three decimals.
    assert.ok(Math.abs(is / printed - 1) < 5e-4, `${is} is not ${printed}`);
  }
});
