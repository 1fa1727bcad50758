import assert from "node:assert/strict";
import { test } from "node:test";
import { seededRandom } from "@samescale/geometry";
import type { GreyPicture } from "../../src/decode/picture.ts";
import { codedBand, noiseSigma } from "../../src/scale/search/coding.ts";
import { orientedBlocks } from "../../src/scale/search/oriented-blocks.ts";
import { peakFinder } from "../../src/scale/search/peaks.ts";
import { searchTiles } from "../../src/scale/search/tile-search.ts";
import { createTileSpectrum, TILE } from "../../src/scale/search/tile-spectrum.ts";

function picture(widthPx: number, heightPx: number, value: (x: number, y: number) => number): GreyPicture {
  const grey = new Uint8Array(widthPx * heightPx);
  for (let i = 0; i < grey.length; i++) grey[i] = value(i % widthPx, Math.floor(i / widthPx));
  return { widthPx, heightPx, grey };
}

/** Ticks across a direction, in a band of which the middle line goes through a point. */
function ticks(angleDeg: number, pitchPx: number, lengthPx: number, x0: number, y0: number) {
  const a = (angleDeg * Math.PI) / 180;
  return (x: number, y: number) => {
    const along = (x - x0) * Math.cos(a) + (y - y0) * Math.sin(a);
    const across = (y - y0) * Math.cos(a) - (x - x0) * Math.sin(a);
    const phase = along / pitchPx - Math.floor(along / pitchPx);
    return Math.abs(across) < lengthPx / 2 && phase < 0.3 ? 60 : 200;
  };
}

test("the band that moves down the picture holds what the definition says, wherever it stands", () => {
  const random = seededRandom(31);
  const noisy = picture(70, 90, () => 255 * random());
  const gain = 1 / Math.max(3, 3 * noiseSigma(noisy));
  const at = (x: number, y: number) =>
    noisy.grey[Math.max(0, Math.min(89, y)) * 70 + Math.max(0, Math.min(69, x))]!;
  const band = codedBand(noisy, 20);
  for (const top of [0, 7, 15, 60, 70]) {
    band.moveTo(top);
    for (let i = 0; i < 20 * 70; i++) {
      const [x, y] = [i % 70, top + Math.floor(i / 70)];
      let sum = 0;
      for (let j = -4; j <= 4; j++) for (let k = -4; k <= 4; k++) sum += at(x + k, y + j);
      const expected = Math.max(-1, Math.min(1, (at(x, y) - sum / 81) * gain));
      assert.ok(Math.abs(band.coded[i]! - expected) < 1e-6, `${x},${y} below ${top}`); // single precision
    }
  }
});

test("a row of ticks is promising in every direction; flat ground, noise and most edges are not", () => {
  const random = seededRandom(32);
  const promising = (value: (x: number, y: number) => number, fewest = 4) => {
    const shown = picture(TILE, TILE, value);
    const band = codedBand(shown, TILE);
    band.moveTo(0);
    const blocks = orientedBlocks(TILE);
    blocks.look(band.coded, Number.POSITIVE_INFINITY);
    return blocks.agreement(0) >= fewest;
  };
  for (let angle = 0; angle < 180; angle += 7.5)
    assert.ok(promising(ticks(angle, 5, 14, 30, 34), 5), `${angle} degrees`);
  assert.ok(!promising(() => 128));
  // An edge's band is two or three blocks wide: with four wanted some pass, with five none.
  const edges = (fewest: number) =>
    Array.from({ length: 24 }, (_, i) => (i * Math.PI) / 24).filter((a) =>
      promising((x, y) => ((x - 32) * Math.cos(a) + (y - 32) * Math.sin(a) > 0 ? 60 : 200), fewest),
    ).length;
  assert.ok(edges(4) <= 12, `${edges(4)} of 24 edges`);
  assert.equal(edges(5), 0);
  let seen = 0;
  for (let i = 0; i < 50; i++) if (promising(() => 128 + 40 * random())) seen++;
  assert.ok(seen <= 2, `${seen} of 50 tiles of noise`);
});

test("peaks tell direction and pitch of two rows of ticks that cross a tile", () => {
  const [first, second] = [ticks(20, 4.4, 16, 32, 20), ticks(100, 6.2, 16, 40, 40)];
  const shown = picture(TILE, TILE, (x, y) => Math.min(first(x, y), second(x, y)));
  const spectrum = createTileSpectrum();
  const band = codedBand(shown, TILE);
  band.moveTo(0);
  spectrum.transform(band.coded, TILE, 0, 0);
  const peaks = peakFinder({ leastPitchPx: 3, mostPitchPx: 8.6 })(spectrum);
  for (const [angle, pitch] of [
    [20, 4.4],
    [100, 6.2],
  ] as const) {
    const a = (angle * Math.PI) / 180;
    const near = peaks.find((p) => Math.abs(p.ux * Math.cos(a) + p.uy * Math.sin(a)) > 0.99);
    // Half a bin of 64 px: at 6.2 px a twentieth.
    assert.ok(near && Math.abs(near.pitchPx / pitch - 1) < 0.05, `${near?.pitchPx} for ${pitch}`);
  }
});

test("in a large picture, where every second tile is skipped, a row of ticks is found wherever it lies", () => {
  const random = seededRandom(33);
  const level = (value: (x: number, y: number) => number) => ({ ...picture(2000, 1100, value), scale: 1 });
  for (let i = 0; i < 6; i++) {
    const [x0, y0, angle] = [100 + 1800 * random(), 100 + 900 * random(), 180 * random()];
    const row = ticks(angle, 4.5, 13, x0, y0);
    const short = (x: number, y: number) => (Math.hypot(x - x0, y - y0) < 45 ? row(x, y) : 200);
    const [best] = searchTiles(level(short), { leastPitchPx: 3, mostPitchPx: 8.6 });
    assert.ok(best && Math.hypot(best.x - x0, best.y - y0) < 64, `${x0}, ${y0}, ${angle}`);
    assert.ok(Math.abs(best.pitchPx / 4.5 - 1) < 0.05);
  }
});
