import assert from "node:assert/strict";
import { test } from "node:test";
import type { ReadScale, ScaleFound } from "@samescale/picture";
import { scalesDisagree } from "../src/check/scales-agree.ts";

const scale = (pxPerMm: number, y: number, axisDeg = 0): ReadScale => ({
  kind: "straight",
  unit: "mm",
  pxPerMm: { value: pxPerMm, u95: pxPerMm * 0.004 },
  at: { x: 1000, y },
  axisDeg,
  ticks: [],
  coverageMm: 60,
  residualPx: 0.1,
});
const reading = (...scales: ReadScale[]): ScaleFound => ({
  file: "x",
  widthPx: 2400,
  heightPx: 1600,
  found: true,
  scales,
  plane: null,
  reproductionRatio: null,
  warnings: [],
  recipe: { step: "scale", version: 1, parameters: {} },
});

test("a scale 12 mm above the other at 500 mm is told with its height", () => {
  const found = scalesDisagree(reading(scale(16.7, 1200), scale(16.7 * (500 / 488), 300)), 500);
  assert.ok(found && Math.abs(found.heightMm.value - 12) < found.heightMm.u95);
});

test("scales that agree, one scale, scales at right angles and two edges of one ruler are no disagreement", () => {
  assert.equal(scalesDisagree(reading(scale(16.7, 1200), scale(16.75, 300)), 500), null);
  assert.equal(scalesDisagree(reading(scale(16.7, 1200)), 500), null);
  assert.equal(scalesDisagree(reading(scale(16.7, 1200), scale(17.3, 300, 90)), 500), null);
  assert.equal(scalesDisagree(reading(scale(16.7, 1200), scale(17.3, 1150)), 500), null);
});

test("directions that differ by nearly 180 degrees are the same direction", () => {
  assert.ok(scalesDisagree(reading(scale(16.7, 1200, 89), scale(17.3, 300, -89)), 500));
});
