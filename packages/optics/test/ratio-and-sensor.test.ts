import assert from "node:assert/strict";
import { test } from "node:test";
import { SamescaleError } from "@samescale/errors";
import fc from "fast-check";
import {
  carryRatio,
  cropFactor,
  FRAME_36X24,
  fieldOf,
  formatRatio,
  formatSensorSize,
  magnificationToFit,
  parseRatio,
  parseSensorSize,
  perspectiveChange,
  SENSOR_FORMATS,
  scaleAgainstPlaneBehind,
} from "../src/index.ts";
import { distanceMm, magnification, near } from "./arbitraries.ts";

test("ratios as people type them", () => {
  for (const [typed, expected] of [
    ["1:10", 0.1],
    ["10:1", 10],
    ["0.1", 0.1],
    ["0,1", 0.1],
    [".25", 0.25],
    ["1:1", 1],
    ["1", 1],
    ["1/4", 0.25],
    [" 1 : 12.5 ", 0.08],
    ["1:12,5", 0.08],
    ["2:3", 2 / 3],
    ["1.94:1", 1.94],
    ["0.5x", 0.5],
    ["2×", 2],
  ] as const) {
    assert.equal(parseRatio(typed), expected, typed);
  }
});

test("what is no ratio is refused with what was received and what to type", () => {
  for (const typed of [
    "",
    " ",
    ":",
    "1:",
    ":10",
    "1:0",
    "0:1",
    "0",
    "-1:4",
    "1:-4",
    "-0.1",
    "NaN",
    "Infinity",
    "1:Infinity",
    "1e-1",
    "0x1",
    "1:2:3",
    "one to ten",
    "1:10mm",
    "x",
    "1..5",
  ]) {
    assert.throws(
      () => parseRatio(typed),
      (thrown) =>
        thrown instanceof SamescaleError &&
        thrown.code === "RATIO_UNREADABLE" &&
        thrown.message.includes(`received ${JSON.stringify(typed)}`),
      typed,
    );
  }
});

test("a bare number above 1 is not guessed: 10 may be 1:10 or 10:1", () => {
  assert.throws(
    () => parseRatio("10"),
    (thrown) => thrown instanceof SamescaleError && /1:10 .* 10:1/.test(thrown.help),
  );
});

test("a ratio that is written and read again is the same to three digits", () => {
  fc.assert(fc.property(magnification, (m) => near(parseRatio(formatRatio(m)), m, 0.005)));
  for (const [m, written] of [
    [0.1, "1:10"],
    [1, "1:1"],
    [0.9999, "1:1"],
    [1 / 15.319, "1:15.3"],
    [1 / 104.046, "1:104"],
    [1 / 1234.5, "1:1235"],
    [1.9466, "1.95:1"],
    [10, "10:1"],
  ] as const) {
    assert.equal(formatRatio(m), written);
  }
});

test("sensor sizes as people type them, there and back", () => {
  for (const sensor of SENSOR_FORMATS) {
    assert.deepEqual(parseSensorSize(`${sensor.widthMm}x${sensor.heightMm}`), sensor);
    assert.deepEqual(parseSensorSize(formatSensorSize(sensor).replace(" mm", "")), sensor);
  }
  assert.deepEqual(parseSensorSize("23,5 X 15,6"), { widthMm: 23.5, heightMm: 15.6 });
  for (const typed of ["", "36", "36x", "x24", "0x24", "36x0", "-36x24", "36x24x1", "APS", "NaNxNaN"]) {
    assert.throws(
      () => parseSensorSize(typed),
      (thrown) => thrown instanceof SamescaleError && thrown.code === "SENSOR_SIZE_UNREADABLE",
      typed,
    );
  }
});

test("carrying a ratio: the same field keeps the named side, the same ratio keeps the ratio, and each says so", () => {
  fc.assert(
    fc.property(
      magnification,
      fc.constantFrom(...SENSOR_FORMATS),
      fc.constantFrom("long" as const, "short" as const),
      (m, sensor, side) => {
        const nominal = fieldOf(FRAME_36X24, m);
        const kept = carryRatio(m, sensor, { keep: "field", side });
        const same = carryRatio(m, sensor, { keep: "ratio" });
        const [keptMm, nominalMm] =
          side === "long" ? [kept.field.widthMm, nominal.widthMm] : [kept.field.heightMm, nominal.heightMm];
        assert.ok(near(keptMm, nominalMm) && near(kept.fieldChange[side], 1));
        assert.ok(near(kept.fieldChange.long * nominal.widthMm, kept.field.widthMm));
        assert.ok(near(kept.fieldChange.short * nominal.heightMm, kept.field.heightMm));
        assert.equal(same.magnification, m);
        assert.ok(near(same.fieldChange.long, sensor.widthMm / 36));
        assert.match(kept.says, new RegExp(`^Same field as .* along the ${side} side`));
        assert.match(same.says, /^Same true ratio as /);
      },
    ),
  );
});

test("a 4:3 sensor cannot keep both sides of the field, and the sentence has the other side", () => {
  const carried = carryRatio(0.1, { widthMm: 17.3, heightMm: 13 }, { keep: "field", side: "long" });
  assert.equal(formatRatio(carried.magnification), "1:20.8");
  // 13/17.3 against 24/36, by hand: 1.1272.
  assert.ok(near(carried.fieldChange.short, 1.1272, 1e-4));
  assert.match(carried.says, /along the short side the field is 112\.7 % of what it was/);
});

test("held upright, a sensor carries the same ratio", () => {
  const way = { keep: "field", side: "long" } as const;
  const across = carryRatio(0.1, { widthMm: 23.5, heightMm: 15.6 }, way);
  const upright = carryRatio(0.1, { widthMm: 15.6, heightMm: 23.5 }, way);
  assert.equal(across.magnification, upright.magnification);
  assert.equal(across.field.widthMm, upright.field.heightMm);
});

test("36 x 24 mm carries onto itself unchanged, with a crop factor of 1", () => {
  assert.equal(cropFactor(FRAME_36X24), 1);
  for (const way of [
    { keep: "field", side: "long" },
    { keep: "field", side: "short" },
    { keep: "ratio" },
  ] as const) {
    assert.equal(carryRatio(0.25, FRAME_36X24, way).magnification, 0.25);
  }
});

test("the ratio to fit a part leaves the margin and not more: a 1.8 m adult with 10 % free needs 1:55 or so", () => {
  const adult = { widthMm: 1800, heightMm: 700 };
  // (36/1800) x 0.9 = 0.018, by hand.
  assert.ok(near(magnificationToFit(FRAME_36X24, adult, 0.1), 0.018));
  fc.assert(
    fc.property(
      distanceMm,
      distanceMm,
      fc.double({ min: 0, max: 0.9, noNaN: true }),
      (width, height, margin) => {
        const m = magnificationToFit(FRAME_36X24, { widthMm: width, heightMm: height }, margin);
        const field = fieldOf(FRAME_36X24, m);
        const filled = Math.max(width / field.widthMm, height / field.heightMm);
        return near(filled, 1 - margin);
      },
    ),
  );
});

test("perspective: nearer is steeper, changes chain, and at the same distance nothing changes", () => {
  const depth = fc.double({ min: 1, max: 300, noNaN: true });
  fc.assert(
    fc.property(distanceMm, distanceMm, distanceMm, depth, (a, b, c, z) => {
      fc.pre(Math.abs(a - b) > 1);
      return (
        perspectiveChange(a, b, z) > 1 === b < a &&
        near(perspectiveChange(a, b, z) * perspectiveChange(b, c, z), perspectiveChange(a, c, z)) &&
        perspectiveChange(a, a, z) === 1 &&
        scaleAgainstPlaneBehind(a, z) > 1 &&
        scaleAgainstPlaneBehind(a, 0) === 1
      );
    }),
  );
});
