import assert from "node:assert/strict";
import { test } from "node:test";
import type { Matrix3 } from "@samescale/geometry";
import { ratioWarnings, sameRatio } from "../../src/align/same-ratio.ts";
import type { ScaleAnswer } from "../../src/answers.ts";

const reading = (pxPerMm: number, at: { x: number; y: number }, u95 = 0.002 * pxPerMm): ScaleAnswer => ({
  file: "made",
  widthPx: 1500,
  heightPx: 1000,
  found: true,
  scales: [
    {
      kind: "straight",
      unit: "mm",
      pxPerMm: { value: pxPerMm, u95 },
      at,
      axisDeg: 0,
      ticks: [],
      coverageMm: 60,
      residualPx: 0.1,
    },
  ],
  plane: null,
  reproductionRatio: null,
  warnings: [],
  recipe: { step: "scale", version: 1, parameters: {} },
});
const none: ScaleAnswer = { file: "made", widthPx: 1500, heightPx: 1000, found: false, reason: "none" };
const middle = { x: 750, y: 500 };
const left = { x: 200, y: 300 };
/** The follow-up shows everything 5 % larger. */
const LARGER: Matrix3 = [
  [1 / 1.05, 0, 0],
  [0, 1 / 1.05, 0],
  [0, 0, 1],
];

test("skin and scales that say 5 % larger agree, and nothing is warned of", () => {
  const ratio = sameRatio(LARGER, middle, reading(10, left), reading(10.5, left));
  assert.ok(ratio?.agree);
  assert.ok(Math.abs(ratio.bySkin.value - 1.05) < 1e-9 && Math.abs(ratio.byScales.value - 1.05) < 1e-9);
  assert.deepEqual(ratioWarnings(ratio), []);
});

test("a scale 12 mm above the skin at 500 mm is told apart: both answers are in the warning", () => {
  // u/(u - h) = 500/488 = 1.0246: geometry of two planes h apart
  const ratio = sameRatio(LARGER, middle, reading(10, left), reading((10.5 * 500) / 488, left));
  assert.equal(ratio?.agree, false);
  const [warning = ""] = ratioWarnings(ratio);
  assert.match(warning, /by the skin .* 5\.0 % larger, by the two scales 7\.6 % larger/);
});

test("a reading that is not sure of itself disagrees with nobody within its interval", () => {
  const ratio = sameRatio(LARGER, middle, reading(10, left, 0.5), reading(10.8, left));
  assert.ok(ratio?.agree);
});

test("in a leaning view the two scales' places are allowed for where no plane is known", () => {
  const leaning: Matrix3 = [
    [1, 0, 0],
    [0, 1, 0],
    [1e-4, 0, 1],
  ];
  // at x = 200 and 1300 local scales differ by (1.13/1.02)^1.5
  const apart = sameRatio(leaning, middle, reading(10, left), reading(10, { x: 1300, y: 300 }));
  const close = sameRatio(leaning, middle, reading(10, left), reading(10, { x: 210, y: 300 }));
  assert.ok(apart!.bySkin.u95 > 0.1 && close!.bySkin.u95 < 0.02);
});

test("without both readings there is no second answer", () => {
  assert.equal(sameRatio(LARGER, middle, none, reading(10, left)), null);
  assert.equal(sameRatio(LARGER, middle, reading(10, left), null), null);
});
