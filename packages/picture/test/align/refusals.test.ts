import assert from "node:assert/strict";
import { test } from "node:test";
import { seededRandom } from "@samescale/geometry";
import { alignPictures } from "../../src/align/align-pictures.ts";
import type { GreyPicture } from "../../src/decode/picture.ts";
import { madeSkin, move, photograph, STILL } from "./made-skin.ts";

const NOTHING = { baseline: [], followup: [] };
const random = seededRandom(51);
const skin = madeSkin(random);
const baseline = photograph(skin, STILL, { random });

const flat = (widthPx: number, heightPx: number, value: number): GreyPicture => ({
  widthPx,
  heightPx,
  grey: new Float32Array(widthPx * heightPx).fill(value),
});

test("another patient's skin is refused", async () => {
  const other = photograph(madeSkin(random), STILL, { random });
  const laid = await alignPictures(baseline, other, NOTHING);
  assert.equal(laid.aligned, false);
});

test("a mirrored follow-up is refused, and called mirrored", async () => {
  const seen = photograph(skin, move(1.03, 5, 0, 4, 2), { random });
  const grey = seen.grey.map((_, i) => seen.grey[i - (i % 480) + 479 - (i % 480)]!);
  const laid = await alignPictures(baseline, { ...seen, grey }, NOTHING);
  assert.deepEqual(laid, { aligned: false, reason: "one of the two pictures is mirrored", mirrored: true });
});

test("blank, black, tiny and noisy pictures are refused with a reason", async () => {
  const noise = photograph(() => 128, STILL, { random, noise: 20 });
  for (const [name, a, b] of [
    ["black over black", flat(480, 360, 0), flat(480, 360, 0)],
    ["flat over skin", baseline, flat(480, 360, 180)],
    ["noise over skin", baseline, noise],
    ["1 × 1", baseline, flat(1, 1, 90)],
    ["1 × 1 over itself", flat(1, 1, 90), flat(1, 1, 90)],
    ["a strip", baseline, flat(4000, 20, 90)],
  ] as const) {
    const laid = await alignPictures(a, b, NOTHING);
    assert.equal(laid.aligned, false, name);
    assert.ok(!laid.aligned && laid.reason.length > 10, name);
  }
});

test("a picture over itself stays where it is", async () => {
  const laid = await alignPictures(baseline, baseline, NOTHING);
  assert.ok(laid.aligned);
  for (const [i, row] of laid.homography.entries()) {
    for (const [j, v] of row.entries()) {
      const want = STILL[i]![j]!;
      assert.ok(Math.abs(v / laid.homography[2][2] - want) < (j === 2 ? 0.01 : 1e-4), `${i},${j}: ${v}`);
    }
  }
  assert.deepEqual(laid.warnings, []);
});

test("a picture turned upside down is found, and everything left out is refused", async () => {
  const grey = baseline.grey.slice().reverse();
  const laid = await alignPictures(baseline, { ...baseline, grey }, NOTHING);
  assert.ok(laid.aligned);
  assert.ok(Math.abs(laid.homography[0][0] + 1) < 1e-3 && Math.abs(laid.homography[0][2] - 480) < 0.3);

  const all = [
    [0, 0],
    [480, 0],
    [480, 360],
    [0, 360],
  ] as const;
  const none = await alignPictures(baseline, baseline, { baseline: [all], followup: [] });
  assert.equal(none.aligned, false);
});

test("a print that lies elsewhere on faint skin is not laid over itself in silence", async () => {
  const own = seededRandom(5);
  const [faint, print] = [madeSkin(own, 0.1), madeSkin(own, 8)];
  const strip = (x: number, y: number) => x > 40 && x < 300 && y > 0 && y < 90;
  const shown = (dx: number, dy: number) =>
    photograph((x, y) => (strip(x - dx, y - dy) ? print(x - dx, y - dy) : faint(x, y)), STILL, {
      random: own,
    });
  const laid = await alignPictures(shown(20, 40), shown(60, 130), NOTHING);
  assert.ok(!laid.aligned || laid.warnings.length > 0);
});
