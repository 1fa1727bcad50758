import assert from "node:assert/strict";
import { test } from "node:test";
import { HALF_MM, MM, ruler } from "./drawings.ts";
import type { Drawing } from "./drawn-picture.ts";
import { errorPct, found, type Shown, shoot } from "./reading.ts";

/** A label of 2 cm on skin: 6 mm of body beyond the graduations. */
const label: Drawing = (x, y) => {
  if (x < -6 || x > 26 || y < -0.9 || y > 15) return 130;
  const k = Math.round(x);
  const length = k % 10 === 0 ? 4.2 : k % 5 === 0 ? 3.2 : 2.2;
  return k >= 0 && k <= 20 && Math.abs(x - k) < 0.09 && y > 0 && y < length ? 30 : 225;
};

/** Two legs graduated along their inner edges, the body outside the corner. */
const legs: Drawing = (x, y) => {
  const leg = ruler({ pitchMm: 1, count: 50, classes: MM, bodyMm: 16, blotMm: 0, ground: 130 });
  if (y <= 0 && x > -16) return x > 0.5 || y < -15 ? leg(x, -y) : 220;
  if (x <= 0 && y > -16) return leg(y, -x);
  return 130;
};

function allRight({ picture, truth }: Shown): ReturnType<typeof found> {
  const reading = found(picture);
  for (const scale of reading.scales) {
    assert.ok(
      errorPct(scale.pxPerMm.value, truth(scale)) < 0.25,
      `${scale.kind} at ${scale.at.x},${scale.at.y}`,
    );
  }
  return reading;
}

test("two scales of different division at opposite sides are both read", () => {
  const near = ruler({ pitchMm: 1, count: 80, classes: MM });
  const far = ruler({ pitchMm: 0.5, count: 150, classes: HALF_MM });
  const both: Drawing = (x, y) => (y < 35 ? near(x, y) : far(80 - x, 70 - y));
  const shown = shoot(both, { pxPerMm: 8, heightPx: 760, centreMm: [40, 35] }, 3);
  const { scales, warnings } = allRight(shown);
  assert.deepEqual(warnings, []);
  assert.equal(scales.length, 2);
  assert.ok(Math.abs(scales[0]!.at.y - scales[1]!.at.y) > 400);
});

test("a label of 2 cm is called one, alone and beside a ruler", () => {
  const alone = allRight(shoot(label, { pxPerMm: 12, centreMm: [10, 6], tiltDeg: 15, rollDeg: 30 }, 4));
  assert.deepEqual(
    alone.scales.map((s) => s.kind),
    ["label"],
  );
  const long = ruler({ pitchMm: 1, count: 80, classes: MM });
  const both: Drawing = (x, y) => (y < 30 ? long(x, y) : label(x - 30, y - 40));
  const { scales } = allRight(shoot(both, { pxPerMm: 9, heightPx: 680, centreMm: [40, 25] }, 5));
  assert.deepEqual(scales.map((s) => s.kind).sort(), ["label", "straight"]);
});

test("two centimetres of a ruler that goes on are no label", () => {
  const long = ruler({ pitchMm: 1, count: 80, classes: MM });
  const shown = shoot(long, { pxPerMm: 14, widthPx: 400, centreMm: [10, 6], rollDeg: 1 }, 6);
  assert.deepEqual(
    allRight(shown).scales.map((s) => s.kind),
    ["straight"],
  );
});

test("the legs of an L are paired with each other, not with a ruler that lies across one of them", () => {
  const long = ruler({ pitchMm: 1, count: 85, classes: MM, ground: 130 });
  const both: Drawing = (x, y) => (y > 58 ? long(x + 10, y - 62) : legs(x, y));
  const shown = shoot(both, { pxPerMm: 7, widthPx: 800, heightPx: 800, centreMm: [28, 32], rollDeg: 3 }, 7);
  const { scales, plane } = allRight(shown);
  assert.deepEqual(scales.map((s) => s.kind).sort(), ["L", "L", "straight"]);
  const [a, b] = scales.filter((s) => s.kind === "L");
  assert.ok(Math.abs(a!.coverageMm - b!.coverageMm) <= 2, "the ruler is longer");
  assert.ok(plane && plane.tiltDeg.value <= Math.max(1, plane.tiltDeg.u95));
});
