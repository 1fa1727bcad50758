import assert from "node:assert/strict";
import { test } from "node:test";
import fc from "fast-check";
import {
  airyDiscMm,
  effectiveFNumber,
  exposureFactor,
  exposureFactorStops,
  flashDistanceMm,
  flashFNumber,
  guideNumberAtIso,
  guideNumberAtZoom,
  illuminanceRatio,
  illuminanceStops,
  largestMagnificationForAiry,
  longestCoveringZoomMm,
  markedFNumber,
  nearestMarkedFNumber,
} from "../src/index.ts";
import { distanceMm, fNumber, magnification, near, pupilRatio } from "./arbitraries.ts";

const guideNumberM = fc.double({ min: 2, max: 100, noNaN: true });

test("marked and effective f-number lead to each other; at infinity they are the same", () => {
  fc.assert(
    fc.property(fNumber, magnification, pupilRatio, (N, m, P) => {
      return (
        near(markedFNumber(effectiveFNumber(N, m, P), m, P), N) &&
        effectiveFNumber(N, 0, P) === N &&
        effectiveFNumber(N, m, P) > N
      );
    }),
  );
});

test("a lower pupil ratio costs more light, at every ratio", () => {
  fc.assert(
    fc.property(magnification, pupilRatio, (m, P) => {
      return (
        exposureFactorStops(m, P * 0.9) > exposureFactorStops(m, P) &&
        near(2 ** exposureFactorStops(m, P), exposureFactor(m, P))
      );
    }),
  );
  assert.equal(exposureFactorStops(0, 0.5), 0);
  assert.equal(exposureFactorStops(1, 1), 2);
});

test("the Airy disc fits the circle of confusion up to the largest magnification, and not beyond", () => {
  fc.assert(
    fc.property(fNumber, pupilRatio, (N, P) => {
      const largest = largestMagnificationForAiry(N, 0.03, P, 550);
      const discMm = (m: number) => airyDiscMm(effectiveFNumber(N, m, P), 550);
      return largest === null
        ? discMm(0) > 0.03
        : near(discMm(largest), 0.03) && discMm(largest + 0.01) > 0.03;
    }),
  );
});

test("flash: f-number and distance lead to each other, close up as far away", () => {
  fc.assert(
    fc.property(guideNumberM, fNumber, magnification, pupilRatio, (gn, N, m, P) => {
      const distance = flashDistanceMm(gn, N, m, P);
      // The same light that the marked rule gives at the effective f-number.
      return (
        near(flashFNumber(gn, distance, m, P), N) &&
        near(distance, flashDistanceMm(gn, effectiveFNumber(N, m, P), 0, 1))
      );
    }),
  );
});

test("guide number and inverse square law say the same: twice the distance is two stops, four times the ISO", () => {
  fc.assert(
    fc.property(guideNumberM, distanceMm, distanceMm, (gn, from, to) => {
      const stops = 2 * Math.log2(flashFNumber(gn, to, 0, 1) / flashFNumber(gn, from, 0, 1));
      return (
        Math.abs(stops - illuminanceStops(from, to)) < 1e-9 && near(guideNumberAtIso(gn, 100, 400), 2 * gn)
      );
    }),
  );
  assert.equal(illuminanceRatio(1000, 2000), 0.25);
  assert.equal(illuminanceRatio(2000, 1000), 4);
});

test("a zoom head's guide number is the table's at its entries, between them in between, and never guessed outside", () => {
  const table = [
    { zoomMm: 105, guideNumberM: 50 },
    { zoomMm: 24, guideNumberM: 25 },
    { zoomMm: 50, guideNumberM: 36 },
  ];
  for (const entry of table) assert.equal(guideNumberAtZoom(table, entry.zoomMm), entry.guideNumberM);
  fc.assert(
    fc.property(fc.double({ min: 24, max: 50, noNaN: true }), (zoomMm) => {
      const value = guideNumberAtZoom(table, zoomMm);
      return value >= 25 && value <= 36;
    }),
  );
  // Geometric middle in, geometric middle out: 60 = sqrt(36 x 100) between 30 and 50.
  const two = [
    { zoomMm: 36, guideNumberM: 20 },
    { zoomMm: 100, guideNumberM: 45 },
  ];
  assert.ok(near(guideNumberAtZoom(two, 60), 30));
  assert.throws(() => guideNumberAtZoom(table, 200), /zoomMm from 24 to 105, received 200/);
  assert.throws(() => guideNumberAtZoom([], 50), /at least one entry/);
});

test("the longest covering zoom setting lights exactly the field, along whichever side binds", () => {
  // 100 mm from 1 m lights 360 x 240 mm; a field of 360 x 200 leaves the long side to bind, 300 x 240 the short one.
  assert.equal(longestCoveringZoomMm({ widthMm: 360, heightMm: 200 }, 1000), 100);
  assert.equal(longestCoveringZoomMm({ widthMm: 300, heightMm: 240 }, 1000), 100);
  assert.equal(longestCoveringZoomMm({ widthMm: 200, heightMm: 360 }, 1000), 100, "held upright");
});

test("marked f-numbers: each is its own nearest, and a third of a stop apart", () => {
  for (const [computed, marked] of [
    [1, 1],
    [2.83, 2.8],
    [5.66, 5.6],
    [11.31, 11],
    [14.37, 14],
    [15.4, 16],
    [22.63, 22],
    [90.5, 91],
  ] as const) {
    assert.equal(nearestMarkedFNumber(computed), marked);
  }
  assert.equal(nearestMarkedFNumber(0.7), null);
  assert.equal(nearestMarkedFNumber(128), null);
  const marked = Array.from({ length: 40 }, (_, third) => nearestMarkedFNumber(2 ** (third / 6)));
  marked.forEach((name, third) => {
    assert.ok(name !== null);
    // The trade's names are rounded to two digits; half a step off and two marks would be mixed up.
    assert.ok(Math.abs(2 * Math.log2(name / 2 ** (third / 6))) < 1 / 6, `f/${name}`);
    assert.equal(nearestMarkedFNumber(name), name);
  });
});
