import assert from "node:assert/strict";
import { test } from "node:test";
import { type CloseUpSetup, closeUpFigures, FRAME_36X24, markedFNumber } from "../src/index.ts";

const SETUP: CloseUpSetup = {
  focalMm: 100,
  magnification: 0.25,
  sensor: FRAME_36X24,
  fNumber: 16,
  fNumberShown: "marked",
  pupilRatio: 1,
  focusing: "extension",
  cocMm: 0.03,
  wantedDepthMm: null,
  hiatusMm: null,
  frontMm: null,
  guideNumberM: null,
  iso: 100,
};

test("one close-up in one call: 100 mm at 1:4, f/16, as worked in the trade notes (computed)", () => {
  const figures = closeUpFigures(SETUP);
  assert.deepEqual(figures.field, { widthMm: 144, heightMm: 96 });
  assert.equal(figures.objectDistanceMm, 500);
  assert.equal(figures.imageDistanceMm, 125);
  assert.equal(figures.effectiveFNumber, 20);
  assert.ok(Math.abs(figures.exposureFactorStops - 0.6439) <= 0.00005);
  assert.ok(Math.abs(figures.depthOfField.totalMm - 19.207) <= 0.0005);
  assert.ok(Math.abs(1000 * figures.airyDiscMm - 26.84) <= 0.005);
  assert.deepEqual(figures.warnings, []);
});

test("what is not known stays not known: hiatus, lens front, flash", () => {
  const unknown = closeUpFigures(SETUP);
  assert.equal(unknown.objectToImageMm, null);
  assert.equal(unknown.workingDistance.known, false);
  assert.equal(unknown.flash, null);
  const known = closeUpFigures({ ...SETUP, hiatusMm: -5, frontMm: 70, guideNumberM: 12, iso: 400 });
  assert.equal(known.objectToImageMm, 620);
  assert.deepEqual(known.workingDistance, { known: true, distanceMm: 430 });
  // GN 12 at ISO 100 is 24 at ISO 400; 24/20 = 1.2 m, by hand.
  assert.equal(known.flash?.guideNumberM, 24);
  assert.ok(Math.abs((known.flash?.distanceMm ?? 0) - 1200) < 1e-9);
  assert.ok(Math.abs((known.flash?.longestCoveringZoomMm ?? 0) - 300) < 1e-9);
});

test("without an f-number the balanced one is taken, rounded to its mark, and it says so", () => {
  const figures = closeUpFigures({ ...SETUP, fNumber: null });
  assert.equal(figures.fNumberFrom, "balanced");
  // c/(k sqrt 2) = 0.03/(0.001342 x 1.41421) = 15.807 effective, 12.65 marked at 1:4, by hand; the mark is f/13.
  assert.ok(Math.abs(figures.best.fNumber - 12.65) < 0.005);
  assert.equal(figures.fNumber, 13);
  const wanted = closeUpFigures({ ...SETUP, fNumber: null, wantedDepthMm: 5 });
  assert.equal(wanted.bestFor, "wanted depth");
  assert.equal(wanted.best.depthMm, 5);
});

test("a camera that shows the effective f-number gives the same figures as the marked one, once", () => {
  const marked = closeUpFigures(SETUP);
  const shown = closeUpFigures({ ...SETUP, fNumber: 20, fNumberShown: "effective" });
  assert.equal(markedFNumber(20, 0.25, 1), 16);
  assert.deepEqual(shown.depthOfField, marked.depthOfField);
  assert.equal(shown.effectiveFNumber, 20);
});

test("without a circle of confusion the convention is named", () => {
  const figures = closeUpFigures({ ...SETUP, cocMm: null, sensor: { widthMm: 18, heightMm: 12 } });
  assert.equal(figures.cocFrom, "0.030-at-36x24");
  assert.ok(Math.abs(figures.cocMm - 0.015) < 1e-12);
});

test("a lens of which little is known brings the warnings along", () => {
  const figures = closeUpFigures({
    ...SETUP,
    magnification: 1,
    pupilRatio: null,
    focusing: "unknown",
    fNumberShown: "unknown",
    guideNumberM: 12,
  });
  assert.deepEqual(
    figures.warnings.map((warning) => warning.trap),
    ["internal-focusing", "effective-f-number", "pupil-ratio", "guide-number"],
  );
});
