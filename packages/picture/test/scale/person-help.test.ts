import assert from "node:assert/strict";
import { test } from "node:test";
import type { XY } from "../../src/answers.ts";
import { readScale } from "../../src/scale/read-scale.ts";
import { MM, ruler } from "./drawings.ts";
import { poseHomography, through } from "./drawn-picture.ts";
import { errorPct, found, shoot } from "./reading.ts";

const centimetres = ruler({ pitchMm: 1, count: 80, classes: MM });

test("near a point the scale that lies there is read, not its neighbour, also beyond its end and at the border", () => {
  const narrow = ruler({ pitchMm: 1, count: 60, classes: MM, bodyMm: 12, blotMm: 0 });
  for (const gapMm of [16, 40]) {
    // The second is printed at four fifths: it says 5.6 where the first says 7.
    const two = (x: number, y: number) => (y < gapMm - 2 ? narrow(x, y) : narrow(x / 0.8, (y - gapMm) / 0.8));
    const shown = shoot(two, { pxPerMm: 7, heightPx: 700, centreMm: [32, gapMm / 2 + 4], rollDeg: 3 }, 16);
    const toPx = poseHomography(shown.pose);
    for (const [at, pxPerMm] of [
      [[30, 3], 7],
      [[1, 3], 7],
      [[30, -9], 7],
      [[24, gapMm + 3], 5.6],
      [[47, gapMm + 3], 5.6],
      [[24, gapMm + 20], 5.6],
    ] as const) {
      const reading = found(shown.picture, { near: through(toPx, at[0], at[1]) });
      assert.deepEqual(reading.warnings, [], `${at}`);
      for (const scale of reading.scales) assert.ok(errorPct(scale.pxPerMm.value, pxPerMm) < 0.2, `${at}`);
    }
  }
  // Graduations eight pixels from the picture's border, and the point on the border itself.
  const high = shoot(centimetres, { pxPerMm: 7, heightPx: 500, centreMm: [40, 34.5], rollDeg: 0 }, 17);
  const [scale] = found(high.picture, { near: [450, 0] }).scales;
  assert.ok(errorPct(scale!.pxPerMm.value, 7) < 0.1);
});

test("near a point where nothing is, nothing is read", () => {
  const shown = shoot(
    centimetres,
    { pxPerMm: 5, widthPx: 900, heightPx: 900, centreMm: [40, -60], rollDeg: 0 },
    18,
  );
  assert.ok(found(shown.picture).scales.length > 0);
  assert.ok(!readScale(shown.picture, { near: [450, 100] }).found);
});

test("two points up to ten pixels off fall on the graduations that lie so far apart, to a part of a pixel", () => {
  for (const [pxPerMm, tiltDeg, offPx] of [
    [5, 0, 10],
    [5, 30, 4],
    [8, 0, 0],
    [8, 30, 10],
    [16, 30, 10],
    [40, 0, 10],
  ] as const) {
    const [firstMm, lastMm] = pxPerMm === 40 ? [30, 50] : [10, 70];
    const size = {
      widthPx: Math.min(1600, 100 * pxPerMm),
      heightPx: Math.max(400, Math.min(800, 40 * pxPerMm)),
    };
    const shown = shoot(centimetres, { pxPerMm, tiltDeg, recedesDeg: 10, ...size }, 19);
    const toPx = poseHomography(shown.pose);
    const moved = ([x, y]: XY, dx: number, dy: number): XY => [x + dx, y + dy];
    const reading = found(shown.picture, {
      twoPoints: {
        from: moved(through(toPx, firstMm, 1.5), offPx, offPx / 2),
        to: moved(through(toPx, lastMm, 1.5), -offPx, offPx),
        lengthMm: lastMm - firstMm,
      },
    });
    const [scale] = reading.scales;
    const label = `${pxPerMm} px/mm, lean ${tiltDeg}, ${offPx} px off`;
    assert.equal(scale!.unitFrom, "person");
    assert.equal(scale!.ticks.length, lastMm - firstMm + 1, label);
    assert.ok(errorPct(scale!.pxPerMm.value, shown.truth(scale!)) < 0.02, label);
    // Finer than that, dark bars and the light between them may be taken for each other: half a pitch, the same px/mm.
    for (const tick of pxPerMm < 8 ? [] : scale!.ticks) {
      // On its bar: a whole number of millimetres along the ruler, to a twentieth of a pixel and 0.4 % of a pitch.
      const [x] = through(inverse(toPx), tick.x, tick.y);
      assert.ok(Math.abs(x - Math.round(x)) < 0.004 + 0.05 / pxPerMm, `${label}: ${x}`);
    }
    const told = reading.warnings.some((said) => /moved by up to \d+ px/.test(said));
    if (offPx === 0) assert.deepEqual(reading.warnings, []);
    else if (offPx > 0.5 * pxPerMm) assert.ok(told, label);
  }
});

test("a length that no graduations have between the points is taken as the person says, with a warning", () => {
  const shown = shoot(centimetres, { rollDeg: 0 }, 20);
  const toPx = poseHomography(shown.pose);
  // 101 graduations of 0.99 mm would be near to a millimetre: only whole numbers count.
  const reading = found(shown.picture, {
    twoPoints: { from: through(toPx, 10, 1), to: through(toPx, 60, 1), lengthMm: 44.2 },
  });
  assert.equal(reading.scales[0]!.kind, "unknown");
  assert.equal(reading.scales[0]!.unitFrom, "person");
  assert.equal(reading.warnings.length, 1);
});

function inverse(m: ReturnType<typeof poseHomography>): ReturnType<typeof poseHomography> {
  const [[a, b, c], [d, e, f], [g, h, i]] = m;
  return [
    [e * i - f * h, c * h - b * i, b * f - c * e],
    [f * g - d * i, a * i - c * g, c * d - a * f],
    [d * h - e * g, b * g - a * h, a * e - b * d],
  ];
}
