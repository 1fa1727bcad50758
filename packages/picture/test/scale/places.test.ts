import assert from "node:assert/strict";
import { test } from "node:test";
import { applyHomography, imagePoint, localScalePxPerMm } from "@samescale/geometry";
import fc from "fast-check";
import type { GreyPicture } from "../../src/decode/picture.ts";
import { MM, ruler } from "./drawings.ts";
import { errorPct, found, shoot } from "./reading.ts";

const centimetres = ruler({ pitchMm: 1, count: 80, classes: MM });

/** Two legs at right angles, graduated along their inner edges. */
const lScale = (x: number, y: number) => {
  const leg = ruler({ pitchMm: 1, count: 60, classes: MM, bodyMm: 18, blotMm: 0, ground: 150 });
  if (y <= 0 && x > -18) return x > 0.5 || y < -17 ? leg(x, -y) : 220;
  if (x <= 0 && y > -18) return leg(y, -x);
  return 150;
};

test("px/mm is that of the place and direction where it is read, for any lean, turn and distance", () => {
  fc.assert(
    fc.property(
      fc.record({
        pxPerMm: fc.double({ min: 5, max: 12, noNaN: true }),
        tiltDeg: fc.double({ min: 0, max: 30, noNaN: true }),
        recedesDeg: fc.integer({ min: 0, max: 359 }),
        rollDeg: fc.integer({ min: -180, max: 180 }),
      }),
      (pose) => {
        const shown = shoot(centimetres, { widthPx: 700, heightPx: 700, ...pose }, 5);
        const [scale] = found(shown.picture).scales;
        const truth = shown.truth(scale!);
        assert.ok(errorPct(scale!.pxPerMm.value, truth) < 0.2, `${scale!.pxPerMm.value} for ${truth}`);
        assert.ok(Math.abs(scale!.pxPerMm.value - truth) <= scale!.pxPerMm.u95);
      },
    ),
    { numRuns: 8, seed: 417 },
  );
});

test("graduations lie where they were drawn, a tenth of a pixel off at most, and a millimetre apart", () => {
  const shown = shoot(centimetres, { tiltDeg: 25, recedesDeg: 10 }, 6);
  const [scale] = found(shown.picture).scales;
  const ticks = scale!.ticks;
  assert.ok(ticks.length >= 70);
  for (let i = 10; i + 10 < ticks.length; i += 10) {
    const [a, b] = [ticks[i - 10]!, ticks[i + 10]!];
    const between = { at: { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 }, axisDeg: scale!.axisDeg };
    const expected = shown.truth(between) * (b.mm - a.mm);
    // The mean over 20 mm differs from the middle's by the square of the perspective: far below 0.1 %.
    assert.ok(Math.abs(Math.hypot(b.x - a.x, b.y - a.y) - expected) < 0.14 + 0.001 * expected);
  }
});

test("a quarter turn, a flip or a copy of twice the size reads the same millimetre", () => {
  const { picture } = shoot(centimetres, { widthPx: 800, heightPx: 420 }, 7);
  const value = (p: GreyPicture) => found(p).scales[0]!.pxPerMm.value;
  const plain = value(picture);
  assert.ok(errorPct(value(quarterTurned(picture)), plain) < 0.03);
  assert.ok(errorPct(value(flipped(picture)), plain) < 0.03);
  assert.ok(errorPct(value(doubled(picture)), 2 * plain) < 0.03);
});

test("an L gives the plane: lean, and px/mm elsewhere in the picture", () => {
  for (const [tiltDeg, recedesDeg] of [
    [0, 0],
    [12, 70],
    [28, 200],
  ] as const) {
    const shown = shoot(
      lScale,
      { widthPx: 900, heightPx: 800, tiltDeg, recedesDeg, centreMm: [20, 20], rollDeg: 8 },
      8,
    );
    const reading = found(shown.picture);
    assert.deepEqual(
      reading.scales.map((s) => s.kind),
      ["L", "L"],
    );
    const { plane } = reading;
    assert.ok(plane, `lean ${tiltDeg}`);
    assert.ok(
      Math.abs(plane.tiltDeg.value - tiltDeg) <= Math.max(1, plane.tiltDeg.u95),
      `${plane.tiltDeg.value} for ${tiltDeg}`,
    );
    for (const at of [
      { x: 450, y: 400 },
      { x: 700, y: 650 },
    ]) {
      for (const axisDeg of [0, 60]) {
        const local = localScalePxPerMm(plane.homographyPxToMm, imagePoint(at.x, at.y)).atAngle(axisDeg);
        assert.ok(
          errorPct(local, shown.truth({ at, axisDeg })) < 0.6,
          `${local} at ${at.x},${at.y} along ${axisDeg}`,
        );
      }
    }
    // The legs' graduations lie on right-angled axes, a millimetre apart.
    const [first, second] = reading.scales;
    const [a, b] = [first!.ticks[0]!, first!.ticks.at(-1)!].map((t) =>
      applyHomography(plane.homographyPxToMm, t),
    );
    const [c, d] = [second!.ticks[0]!, second!.ticks.at(-1)!].map((t) =>
      applyHomography(plane.homographyPxToMm, t),
    );
    assert.ok(errorPct(Math.hypot(b!.x - a!.x, b!.y - a!.y), first!.coverageMm) < 0.3);
    const cos = (b!.x - a!.x) * (d!.x - c!.x) + (b!.y - a!.y) * (d!.y - c!.y);
    assert.ok(Math.abs(cos / (first!.coverageMm * second!.coverageMm)) < 0.005);
  }
});

test("one straight edge leaves the plane open", () => {
  assert.equal(found(shoot(centimetres, { tiltDeg: 15 }, 9).picture).plane, null);
});

test("along a leaning edge the ratio is corrected by what the perspective shows when the lens is known", () => {
  const shown = shoot(centimetres, { tiltDeg: 20, recedesDeg: 4, pxPerMm: 9 }, 10);
  const local = found(shown.picture).scales[0]!.pxPerMm.value;
  const { facingPxPerMm } = found(shown.picture, { focalMm: 25, pixelMm: 0.01 * (1 + 0.09) });
  assert.ok(local < 0.96 * 9, "foreshortened by 6 %");
  assert.ok(Math.abs(facingPxPerMm.value - 9) <= facingPxPerMm.u95 + 0.01 * 9, `${facingPxPerMm.value}`);
  assert.ok(errorPct(facingPxPerMm.value, 9) < 3);
});

test("two points on graduations read the lattice between them; elsewhere they count as placed", () => {
  const shown = shoot(centimetres, { rollDeg: 0 }, 14);
  const [scale] = found(shown.picture).scales;
  const [a, b] = [scale!.ticks[10]!, scale!.ticks[60]!];
  const snapped = found(shown.picture, {
    twoPoints: { from: [a.x + 2, a.y + 3], to: [b.x - 2, b.y - 4], lengthMm: 50 },
  });
  assert.deepEqual(snapped.warnings, []);
  assert.equal(snapped.scales[0]!.ticks.length, 51);
  assert.ok(errorPct(snapped.scales[0]!.pxPerMm.value, shown.truth(snapped.scales[0]!)) < 0.1);
  const loose = found(shown.picture, { twoPoints: { from: [100, 450], to: [500, 450], lengthMm: 50 } });
  assert.equal(loose.scales[0]!.pxPerMm.value, 8);
  assert.ok(loose.scales[0]!.pxPerMm.u95 > 0.05);
  assert.match(loose.warnings[0]!, /as you placed them/);
});

test("a stated length that no graduations have is not forced on them", () => {
  const shown = shoot(centimetres, { rollDeg: 0 }, 15);
  const [a, b] = [10, 60].map((i) => found(shown.picture).scales[0]!.ticks[i]!);
  const reading = found(shown.picture, { twoPoints: { from: [a!.x, a!.y], to: [b!.x, b!.y], lengthMm: 43 } });
  assert.equal(reading.scales[0]!.kind, "unknown");
  assert.equal(reading.warnings.length, 1);
});

test("near a point only what lies there is read", () => {
  const two = (x: number, y: number) => (y < 30 ? centimetres(x, y) : centimetres(x, y - 34));
  const shown = shoot(two, { pxPerMm: 7, heightPx: 700, centreMm: [40, 30], rollDeg: 0 }, 16);
  assert.equal(found(shown.picture).scales.length, 2);
  const near = found(shown.picture, { near: [450, 400] });
  assert.ok(near.scales.every((s) => s.at.y > 300));
});

function quarterTurned({ widthPx, heightPx, grey }: GreyPicture): GreyPicture {
  const out = new Float32Array(grey.length);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) out[x * heightPx + (heightPx - 1 - y)] = grey[y * widthPx + x]!;
  }
  return { widthPx: heightPx, heightPx: widthPx, grey: out };
}

function flipped({ widthPx, heightPx, grey }: GreyPicture): GreyPicture {
  return {
    widthPx,
    heightPx,
    grey: grey.map((_, i) => grey[i - (i % widthPx) + widthPx - 1 - (i % widthPx)]!),
  };
}

function doubled({ widthPx, heightPx, grey }: GreyPicture): GreyPicture {
  const out = new Float32Array(4 * grey.length);
  for (let y = 0; y < 2 * heightPx; y++) {
    for (let x = 0; x < 2 * widthPx; x++) out[y * 2 * widthPx + x] = grey[(y >> 1) * widthPx + (x >> 1)]!;
  }
  return { widthPx: 2 * widthPx, heightPx: 2 * heightPx, grey: out };
}
