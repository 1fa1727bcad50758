import assert from "node:assert/strict";
import { test } from "node:test";
import { scaleOffsets } from "../src/compare/two-answers.ts";

const OBJECT_MM = 500; // 1:4 with 100 mm, thin lens: 100 x (1 + 4)
const by = (pxPerMm: number, skin: number | null) => ({
  pxPerMmByScale: { value: pxPerMm, u95: pxPerMm * 0.002 },
  pxPerBaselinePx: skin,
});

test("a scale 12 mm above the skin at 500 mm is found in the one picture where it lay, with its height", () => {
  // (D + z)/D with D the nearer distance: 500/488 (trade-facts 2.1, planes z apart; geometry, from memory)
  const raised = 16.7 * (500 / 488);
  const offsets = scaleOffsets(
    [by(16.7, 1), by(16.7 * 1.03, 1.03), by(raised, 1), by(16.7 * 0.97, 0.97)],
    OBJECT_MM,
  );
  assert.deepEqual(
    offsets.map((o) => o?.stands),
    [false, false, true, false],
  );
  const height = offsets[2]!.heightMm;
  assert.ok(
    Math.abs(height.value - 12) < 0.1 && Math.abs(height.value - 12) < height.u95,
    String(height.value),
  );
});

test("the baseline itself can be the one that is off, and a scale below the skin is negative", () => {
  const lowered = 16.7 * (500 / 515);
  const offsets = scaleOffsets([by(lowered, 1), by(16.7, 1), by(16.7, 1)], OBJECT_MM);
  assert.deepEqual(
    offsets.map((o) => o?.stands),
    [true, false, false],
  );
  assert.ok(Math.abs(offsets[0]!.heightMm.value + 15) < 0.2);
});

test("two pictures only disagree: nobody can say whose scale is off", () => {
  assert.deepEqual(scaleOffsets([by(16.7, 1), by(17.2, 1)], OBJECT_MM), [null, null]);
});

test("a picture without one of the answers is left out and does not move the others", () => {
  const offsets = scaleOffsets(
    [by(16.7, 1), { pxPerMmByScale: null, pxPerBaselinePx: 1 }, by(16.7, null), by(16.7, 1), by(16.71, 1)],
    OBJECT_MM,
  );
  assert.deepEqual(
    offsets.map((o) => o?.stands ?? null),
    [false, null, null, false, false],
  );
});

test("a difference within the readings' own uncertainty does not stand", () => {
  const unsure = { pxPerMmByScale: { value: 16.7 * 1.02, u95: 16.7 * 0.03 }, pxPerBaselinePx: 1 };
  assert.equal(scaleOffsets([by(16.7, 1), by(16.7, 1), unsure], OBJECT_MM)[2]!.stands, false);
});
