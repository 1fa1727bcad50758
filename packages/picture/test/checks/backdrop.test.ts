import assert from "node:assert/strict";
import { test } from "node:test";
import { BLUE_CLOTH, frame, inArm, LIGHT_SKIN, lookAt, mustJudge, times, WIDE } from "./drawn-frame.ts";

const seenWith = (clothLight: (x: number, y: number) => number) =>
  mustJudge(
    lookAt(frame((x, y) => (inArm(x, y) ? LIGHT_SKIN : times(BLUE_CLOTH, clothLight(x, y))))).backdrop,
  );

test("an even cloth: its share, no creases, no shadow", () => {
  const seen = seenWith(() => 1);
  assert.ok(Math.abs(seen.share - 0.6) < 0.015);
  assert.ok(seen.unevennessStops < 0.03 && seen.creases < 0.01 && seen.shadowStops < 0.03);
  assert.equal(seen.shadowTowardsDeg, null);
});

test("light that falls off smoothly is unevenness, not creases", () => {
  const seen = seenWith((x) => 2 ** (-x / WIDE));
  // Nine tenths of the way from one side to the other.
  assert.ok(Math.abs(seen.unevennessStops - 0.9) < 0.03, `${seen.unevennessStops}`);
  assert.ok(seen.creases < 0.012, `${seen.creases}`);
});

test("folds are creases by their root mean square", () => {
  for (const depth of [0.05, 0.2]) {
    const seen = seenWith((x) => 1 + depth * Math.sin(x / 12));
    assert.ok(Math.abs(seen.creases - depth / Math.SQRT2) < 0.15 * depth, `${seen.creases}`);
    assert.ok(seen.unevennessStops < 0.12);
  }
});

test("the subject's shadow on the cloth: how dark, and on which side", () => {
  for (const strength of [0.2, 0.5]) {
    const seen = seenWith((x, y) => (inArm(x, y - 40) ? 1 - strength : 1));
    const stops = -Math.log2(1 - strength);
    assert.ok(Math.abs(seen.shadowStops - stops) < 0.2 * stops, `${seen.shadowStops} for ${stops}`);
    assert.ok(Math.abs((seen.shadowTowardsDeg ?? 0) - 90) <= 45);
  }
});
