import assert from "node:assert/strict";
import { test } from "node:test";
import { readScale } from "../../src/scale/read-scale.ts";
import type { Drawing } from "./drawn-picture.ts";
import { errorPct, found, shoot } from "./reading.ts";

/** One bar for each centimetre, no numerals. */
const centimetres =
  (count: number, ink = 30, paper = 220): Drawing =>
  (x, y) => {
    if (x < -6 || x > 10 * count + 6 || y < -2 || y > 18) return 120;
    const k = Math.round(x / 10);
    return k >= 0 && k <= count && Math.abs(x - 10 * k) < 0.15 && y > 0 && y < 6 ? ink : paper;
  };

test("bars a centimetre apart are found, and the reason says that their distance is missing", () => {
  const reading = readScale(shoot(centimetres(9), { centreMm: [45, 6] }, 1).picture);
  assert.ok(!reading.found);
  assert.match(reading.reason, /single graduations.*how far apart.*Name the kind/);
});

test("named as centimetres they give px/mm, dark or light, for any lean, and a warning that nothing confirms it", () => {
  for (const [drawn, tiltDeg, recedesDeg] of [
    [centimetres(9), 0, 0],
    [centimetres(9), 30, 10],
    [centimetres(8, 220, 40), 35, 100],
  ] as const) {
    const shown = shoot(drawn, { tiltDeg, recedesDeg, rollDeg: -25, heightPx: 640, centreMm: [45, 6] }, 2);
    const { scales, warnings } = found(shown.picture, { kind: "cm" });
    assert.equal(scales.length, 1);
    assert.equal(scales[0]!.unit, "cm");
    assert.equal(scales[0]!.unitFrom, "person");
    assert.match(warnings.join(), /what you named/);
    assert.ok(errorPct(scales[0]!.pxPerMm.value, shown.truth(scales[0]!)) < 0.1);
  }
});

test("bars with others between them are no row of their own", () => {
  const halves: Drawing = (x, y) => {
    const between = Math.abs(x - Math.round(x / 2.5) * 2.5) < 0.15 && y > 1 && y < 5 && x > 0 && x < 90;
    return between ? 30 : centimetres(9)(x, y);
  };
  assert.equal(readScale(shoot(halves, { centreMm: [45, 6] }, 3).picture, { kind: "cm" }).found, false);
});
