import assert from "node:assert/strict";
import { test } from "node:test";
import fc from "fast-check";
import { arcOfChord } from "../../src/index.ts";
import { within } from "../support/arbitraries.ts";

function arc(radiusMm: number, chordMm: number, distanceMm?: number) {
  const result = arcOfChord({ radiusMm, chordMm, ...(distanceMm === undefined ? {} : { distanceMm }) });
  assert.ok(result.ok, result.ok ? "" : result.reason);
  return result;
}

// The project's table of facts, section 4.5: computed there, not published. Three decimals are printed.
const HALF_LAST_DIGIT = 0.0005;

test("the table of limbs: far camera", () => {
  for (const [radius, chord, arcMm, percent] of [
    [50, 20, 20.136, 0.679],
    [50, 40, 41.152, 2.879],
    [50, 60, 64.35, 7.25],
    [50, 80, 92.73, 15.912],
    [40, 40, 41.888, 4.72],
    [30, 40, 43.784, 9.459],
  ] as const) {
    const result = arc(radius, chord);
    assert.ok(Math.abs(result.arcMm - arcMm) <= HALF_LAST_DIGIT, `${result.arcMm}`);
    assert.ok(Math.abs(100 * result.excess - percent) <= HALF_LAST_DIGIT);
  }
});

test("the table of limbs: camera at 300, 500 and 1,000 mm", () => {
  // At 500 mm the table prints 65.932; bisection of the projection gives 65.93146, so one last digit is allowed.
  for (const [distance, arcMm] of [
    [300, 67.088],
    [500, 65.932],
    [1000, 65.12],
  ] as const) {
    assert.ok(Math.abs(arc(50, 60, distance).arcMm - arcMm) <= 2 * HALF_LAST_DIGIT);
  }
});

test("there and back: a point walked round the limb is seen where the chord says", () => {
  fc.assert(
    fc.property(within(10, 200), within(100, 3000), within(0.01, 0.99), (radius, distance, share) => {
      // What is visible ends where the ray touches the limb: cos φ = R / (R + D).
      const half = share * Math.acos(radius / (radius + distance));
      const seen = (distance * radius * Math.sin(half)) / (distance + radius * (1 - Math.cos(half)));
      assert.ok(Math.abs(arc(radius, 2 * seen, distance).arcMm - 2 * radius * half) < 1e-6 * radius);
    }),
    { seed: 41 },
  );
});

test("a farther camera tends to the far form, a nearer one sees a longer arc", () => {
  const far = arc(50, 60).arcMm;
  assert.ok(Math.abs(arc(50, 60, 1e7).arcMm - far) < 1e-4);
  assert.ok(arc(50, 60, 400).arcMm > arc(50, 60, 800).arcMm && arc(50, 60, 800).arcMm > far);
});

test("45 degrees round the limb is told apart", () => {
  assert.equal(arc(50, 2 * 50 * Math.SQRT1_2 - 0.01).isWithin45Deg, true);
  assert.equal(arc(50, 2 * 50 * Math.SQRT1_2 + 0.01).isWithin45Deg, false);
});

test("what cannot be seen, or is no length, is refused with a reason", () => {
  assert.match((arcOfChord({ chordMm: 101, radiusMm: 50 }) as { reason: string }).reason, /visible edge/);
  assert.match(
    (arcOfChord({ chordMm: 99, radiusMm: 50, distanceMm: 100 }) as { reason: string }).reason,
    /visible edge/,
  );
  for (const bad of [0, -1, Number.NaN]) {
    assert.equal(arcOfChord({ chordMm: bad, radiusMm: 50 }).ok, false);
    assert.equal(arcOfChord({ chordMm: 10, radiusMm: bad }).ok, false);
    assert.equal(arcOfChord({ chordMm: 10, radiusMm: 50, distanceMm: bad }).ok, false);
  }
});
