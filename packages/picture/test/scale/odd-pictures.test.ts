import assert from "node:assert/strict";
import { test } from "node:test";
import { seededRandom } from "@samescale/geometry";
import type { GreyPicture } from "../../src/decode/picture.ts";
import { readScale } from "../../src/scale/read-scale.ts";
import { MM, ruler } from "./drawings.ts";
import { errorPct, found, shoot } from "./reading.ts";

function filled(widthPx: number, heightPx: number, value: (i: number) => number): GreyPicture {
  return { widthPx, heightPx, grey: Float32Array.from({ length: widthPx * heightPx }, (_, i) => value(i)) };
}

test("pictures that hold nothing are answered, whatever their size", () => {
  const random = seededRandom(3);
  for (const [widthPx, heightPx] of [
    [1, 1],
    [1, 500],
    [2, 2],
    [10, 7],
    [20, 3000],
    [3000, 20],
    [64, 64],
    [63, 300],
    [400, 300],
  ] as const) {
    for (const value of [() => 0, () => 255, () => 127, () => 255 * random(), (i: number) => (i % 2) * 255]) {
      const reading = readScale(filled(widthPx, heightPx, value));
      assert.equal(reading.found, false, `${widthPx} x ${heightPx}`);
    }
  }
});

test("two points in any picture are answered, also on its very edge and outside", () => {
  const picture = filled(20, 15, () => 90);
  assert.ok(readScale(picture, { twoPoints: { from: [0, 0], to: [20, 15], lengthMm: 5 } }).found);
  const outside = readScale(picture, { twoPoints: { from: [0, 0], to: [21, 15], lengthMm: 5 } });
  assert.ok(!outside.found);
  assert.match(outside.reason, /20 x 15/);
});

test("a ruler that leaves the picture is read in the part that is seen", () => {
  const long = ruler({ pitchMm: 1, count: 400, classes: MM });
  const shown = shoot(long, { centreMm: [203, 3], heightPx: 160, rollDeg: 0 }, 4);
  const [scale] = found(shown.picture).scales;
  assert.ok(scale!.coverageMm > 95);
  assert.ok(errorPct(scale!.pxPerMm.value, 8) < 0.1);
});

test("a ruler of which barely two centimetres are seen is read or doubted, never wrong without a word", () => {
  for (const first of [0, 3, 6, 9]) {
    const drawn = ruler({ pitchMm: 1, count: 22, first, classes: MM });
    const shown = shoot(drawn, { centreMm: [11, 5], pxPerMm: 14, widthPx: 500, heightPx: 400 }, first + 1);
    const reading = readScale(shown.picture);
    if (!reading.found || reading.warnings.length > 0) continue;
    assert.ok(errorPct(reading.scales[0]!.pxPerMm.value, shown.truth(reading.scales[0]!)) < 0.5);
  }
});
