import assert from "node:assert/strict";
import { test } from "node:test";
import { contains } from "@samescale/geometry";
import { scaleRegions } from "../../src/align/scale-regions.ts";
import type { OutlineRegion, ReadScale, ScaleFound } from "../../src/answers.ts";

const leg = (kind: ReadScale["kind"], x: number, y: number, axisDeg: number): ReadScale => ({
  kind,
  unit: "mm",
  pxPerMm: { value: 10, u95: 0.02 },
  at: { x, y },
  axisDeg,
  ticks: [],
  coverageMm: 60,
  residualPx: 0.1,
});
const found = (...scales: ReadScale[]): ScaleFound => ({
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
const holds = (regions: readonly OutlineRegion[], x: number, y: number) =>
  regions.some((r) =>
    contains({ outline: r.outline.map(([px, py]) => ({ x: px, y: py })), holes: [] }, { x, y }),
  );

for (const axisDeg of [90, -90]) {
  test(`an L along the top and the left (leg told as ${axisDeg} degrees) is left out outside its inner corner only`, () => {
    // Inner edges: y = 400 from x = 500 to 1100, x = 500 from y = 400 to 1000.
    const regions = scaleRegions(found(leg("L", 800, 400, 0), leg("L", 500, 700, axisDeg)));
    assert.ok(holds(regions, 800, 250) && holds(regions, 350, 700) && holds(regions, 350, 250), "its body");
    assert.ok(!holds(regions, 800, 700) && !holds(regions, 560, 460), "the skin inside the corner");
  });
}

test("a straight scale is left out on both sides, as its body may lie on either", () => {
  const regions = scaleRegions(found(leg("straight", 800, 400, 0)));
  assert.ok(holds(regions, 800, 250) && holds(regions, 800, 550));
  assert.ok(!holds(regions, 800, 800));
});

test("no scale read: nothing is left out", () => {
  assert.deepEqual(scaleRegions({ file: "x", widthPx: 1, heightPx: 1, found: false, reason: "none" }), []);
});
