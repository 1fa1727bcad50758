import assert from "node:assert/strict";
import { test } from "node:test";
import { readScale } from "../../src/scale/read-scale.ts";
import { chessboard } from "./drawings.ts";
import type { Drawing } from "./drawn-picture.ts";
import { errorPct, found, type Shown, shoot } from "./reading.ts";

/** A camera sums light and stores its root: drawn tones are light here, as borders lie where the light is half. */
function shootLight(...args: Parameters<typeof shoot>): Shown {
  const shown = shoot(...args);
  const grey = shown.picture.grey.map((v) => 255 * (v / 255) ** (1 / 2.2));
  return { ...shown, picture: { ...shown.picture, grey } };
}

/** Blocks on white, the first one dark; a frame line round them, or bars beside them every `everyMm`. */
function blocks(o: {
  blockMm: number;
  count: number;
  framed?: boolean;
  everyMm?: number;
  ink?: number;
}): Drawing {
  const { blockMm, count, framed = false, everyMm = 0, ink = 4 } = o;
  const end = blockMm * count;
  return (x, y) => {
    if (x < -4 || x > end + 4 || y < -1 || y > 14) return 120;
    const inside = x >= 0 && x < end && y >= 0 && y < 3;
    if (inside && Math.floor(x / blockMm) % 2 === 0) return ink;
    if (inside && framed && (y < 0.2 || y > 2.8 || x > end - 0.2)) return ink;
    if (everyMm > 0 && y >= 3 && y < 4.8 && x > -0.1 && x < end + 0.1) {
      return Math.abs(x - Math.round(x / everyMm) * everyMm) < 0.1 ? ink : 220;
    }
    return 220;
  };
}

test("blocks alone are found, and the reason says that their length is missing", () => {
  for (const [blockMm, count] of [
    [10, 8],
    [5, 14],
    [12.7, 5],
    [25.4, 3],
  ] as const) {
    const centreMm = [(blockMm * count) / 2, 4] as const;
    const shown = shootLight(blocks({ blockMm, count }), { centreMm, tiltDeg: 15, recedesDeg: 30 }, count);
    const reading = readScale(shown.picture);
    assert.ok(!reading.found);
    assert.match(reading.reason, /blocks.*how long.*Name the kind/, `${blockMm}`);
  }
});

test("blocks of a length that a person names give px/mm of their place, framed or not, for any lean", () => {
  for (const [kind, blockMm, count, framed] of [
    ["blocks-10mm", 10, 8, true],
    ["blocks-5mm", 5, 15, false],
    ["blocks-half-inch", 12.7, 6, true],
    ["blocks-inch", 25.4, 3, false],
  ] as const) {
    for (const [tiltDeg, recedesDeg, rollDeg] of [
      [0, 0, 3],
      [30, 20, -40],
      [35, 110, 15],
    ] as const) {
      const pose = { tiltDeg, recedesDeg, rollDeg, pxPerMm: 7, heightPx: 640, centreMm: [40, 3] as const };
      const shown = shootLight(blocks({ blockMm, count, framed }), pose, count);
      const { scales, warnings } = found(shown.picture, { kind });
      assert.equal(scales.length, 1, kind);
      assert.equal(scales[0]!.unitFrom, "person");
      assert.deepEqual(warnings, []);
      // A border is placed to a few hundredths of a pixel; three blocks are some 500 px long.
      assert.ok(
        errorPct(scales[0]!.pxPerMm.value, shown.truth(scales[0]!)) < 0.15,
        `${kind}, lean ${tiltDeg}`,
      );
    }
  }
});

test("light blocks on a dark scale are as good", () => {
  const drawn = blocks({ blockMm: 10, count: 8 });
  const shown = shootLight((x, y) => 250 - drawn(x, y), { centreMm: [40, 4] }, 3);
  const [scale] = found(shown.picture, { kind: "blocks-10mm" }).scales;
  assert.ok(errorPct(scale!.pxPerMm.value, shown.truth(scale!)) < 0.1);
});

test("equal bars beside blocks of ten of them are millimetres, by the blocks", () => {
  const shown = shootLight(
    blocks({ blockMm: 10, count: 8, everyMm: 1 }),
    { centreMm: [40, 4], pxPerMm: 9 },
    4,
  );
  const reading = found(shown.picture);
  assert.equal(reading.scales[0]!.unitFrom, "blocks");
  assert.ok(errorPct(reading.scales[0]!.pxPerMm.value, shown.truth(reading.scales[0]!)) < 0.15);
});

test("a short scale with one block of ten and bars of two lengths is read; a shadow instead of the block proves nothing", () => {
  const bars: Drawing = (x, y) => {
    const k = Math.round(x);
    const length = k % 5 === 0 ? 2.4 : 1.6;
    return k >= 0 && k <= 20 && Math.abs(x - k) < 0.1 && y >= 3 && y < 3 + length ? 4 : 220;
  };
  const body = (x: number, y: number) => x > -3 && x < 23 && y > -1 && y < 12;
  const block: Drawing = (x, y) => {
    if (!body(x, y)) return 120;
    return x >= 0 && x < 10 && y >= 0 && y < 3 ? 4 : bars(x, y);
  };
  const shown = shootLight(block, { centreMm: [10, 4], pxPerMm: 14, widthPx: 500, heightPx: 360 }, 6);
  const reading = found(shown.picture);
  assert.equal(reading.scales[0]!.unitFrom, "blocks");
  assert.ok(errorPct(reading.scales[0]!.pxPerMm.value, shown.truth(reading.scales[0]!)) < 0.2);
  for (const edge of [8, 10, 12.5]) {
    const shadow: Drawing = (x, y) => (body(x, y) ? bars(x, y) : 120) * (x < edge ? 0.3 : 1);
    const dark = shootLight(shadow, { centreMm: [10, 4], pxPerMm: 14, widthPx: 500, heightPx: 360 }, 7);
    assert.equal(readScale(dark.picture).found, false, `shadow to ${edge}`);
  }
});

test("both legs of an L with blocks are read, and give the plane", () => {
  const leg = blocks({ blockMm: 10, count: 6 });
  const corner: Drawing = (x, y) => (y < 0 && x > -2 ? leg(x, -y) : x < 0 && y > -2 ? leg(y, -x) : 120);
  const pose = { centreMm: [25, 25], pxPerMm: 8, heightPx: 760, tiltDeg: 20, recedesDeg: 60 } as const;
  const shown = shootLight(corner, pose, 5);
  const { scales, plane } = found(shown.picture, { kind: "blocks-10mm" });
  assert.deepEqual(
    scales.map((s) => s.kind),
    ["L", "L"],
  );
  for (const scale of scales) assert.ok(errorPct(scale.pxPerMm.value, shown.truth(scale)) < 0.2);
  assert.ok(plane && Math.abs(plane.tiltDeg.value - 20) <= Math.max(1.5, plane.tiltDeg.u95));
});

test("a chessboard is no scale by itself", () => {
  assert.equal(readScale(shoot(chessboard(5)).picture).found, false);
});
