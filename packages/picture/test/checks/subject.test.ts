import assert from "node:assert/strict";
import { test } from "node:test";
import {
  BLUE_CLOTH,
  DARK_SKIN,
  frame,
  HIGH,
  inArm,
  LIGHT_SKIN,
  lookAt,
  mustJudge,
  PAPER,
  readingAlong,
  times,
  WIDE,
} from "./drawn-frame.ts";

/** One cell of 256 along the long side, and the half cell by which its middle may be off. */
const A_CELL = 1.5 / 170;

for (const [name, skin] of [
  ["light", LIGHT_SKIN],
  ["dark", DARK_SKIN],
] as const) {
  for (const stops of [-2, 1]) {
    test(`an arm of ${name} skin on blue cloth, ${stops} stops: where it lies and where it runs out`, () => {
      const picture = frame((x, y) => times(inArm(x, y) ? skin : BLUE_CLOTH, 2 ** stops));
      const seen = mustJudge(lookAt(picture).subject);
      assert.ok(!seen.fillsFrame);
      assert.ok(Math.abs(seen.share - 240 / HIGH) < A_CELL, `${seen.share}`);
      assert.ok(
        Math.abs(seen.runsOut.left - 0.4) < 2 * A_CELL && Math.abs(seen.runsOut.right - 0.4) < 2 * A_CELL,
      );
      assert.equal(seen.runsOut.top + seen.runsOut.bottom, 0);
      assert.ok(Math.abs(seen.boxPx.top - 180) < 6 && Math.abs(seen.boxPx.bottom - 420) < 6);
      assert.ok(Math.hypot(seen.offCentre.x, seen.offCentre.y) < A_CELL);
    });
  }
}

test("an arm further down and cut off by the lower border", () => {
  const seen = mustJudge(
    lookAt(frame((x, y) => (inArm(x, y, 420, 660) && x > 200 ? LIGHT_SKIN : BLUE_CLOTH))).subject,
  );
  assert.ok(Math.abs(seen.offCentre.y - (510 / HIGH - 0.5)) < A_CELL);
  assert.ok(Math.abs(seen.offCentre.x - (550 / WIDE - 0.5)) < A_CELL);
  assert.ok(Math.abs(seen.runsOut.bottom - 700 / WIDE) < 2 * A_CELL);
  assert.equal(seen.runsOut.left, 0);
});

test("skin that fills the frame, a wound and a scale laid at the border included", () => {
  const scale = readingAlong(560, 860, 60, 6);
  const picture = frame((x, y) => {
    if (y < 60 && x > 540) return PAPER;
    return Math.hypot(x - 450, y - 300) < 60 ? [0.3, 0.04, 0.03] : LIGHT_SKIN;
  });
  const answer = lookAt(picture, scale);
  const seen = mustJudge(answer.subject);
  assert.ok(seen.fillsFrame, `share ${seen.share}`);
  assert.ok(!answer.backdrop.judged);
});

test("a frame without skin says so, part by part", () => {
  for (const light of [[0, 0, 0], [1, 1, 1], [0.2, 0.2, 0.2], BLUE_CLOTH] as const) {
    const answer = lookAt(frame(() => light, 0));
    for (const part of [
      answer.subject,
      answer.focus.subject,
      answer.focus.scale,
      answer.exposure,
      answer.backdrop,
      answer.light,
      answer.roll,
    ]) {
      assert.ok(!part.judged && part.why.length > 10);
    }
  }
});

test("the scale's turn against the nearest axis of the frame; a slantwise one tells nothing", () => {
  const picture = frame(() => LIGHT_SKIN);
  for (const [turn, want] of [
    [3, 3],
    [-88, 2],
    [90, 0],
  ] as const) {
    const { deg } = mustJudge(lookAt(picture, readingAlong(200, 600, 300, 5, turn)).roll);
    assert.ok(Math.abs(deg.value - want) < 1e-9);
  }
  assert.ok(!lookAt(picture, readingAlong(200, 600, 300, 5, 40)).roll.judged);
});
