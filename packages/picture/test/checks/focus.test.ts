import assert from "node:assert/strict";
import { test } from "node:test";
import sharp from "sharp";
import { medianOf } from "../../src/checks/cells.ts";
import { edgesIn } from "../../src/checks/edge-spread.ts";
import { wholeGreyOf } from "../../src/decode/decode.ts";
import type { UprightPicture } from "../../src/decode/picture.ts";
import {
  frame,
  HIGH,
  LIGHT_SKIN,
  lookAt,
  mustJudge,
  PAPER,
  readingAlong,
  times,
  WIDE,
} from "./drawn-frame.ts";

/** Blurred by a general image library, which knows nothing of how blur is measured here. */
async function blurred(picture: UprightPicture, sigma: number): Promise<UprightPicture> {
  const raw = { width: picture.widthPx, height: picture.heightPx, channels: 3 as const };
  const rgb = await sharp(picture.rgb, { raw }).blur({ sigma, precision: "float" }).raw().toBuffer();
  return { ...picture, rgb: new Uint8Array(rgb) };
}

const step = (x: number) => (Math.floor(x / 40) % 2 === 0 ? 0.3 : 0.5);
const line = (x: number) => (x % 40 < 3 ? 0.25 : 0.5);

for (const [name, pattern] of [
  ["steps", step],
  ["lines 3 px wide", line],
] as const) {
  for (const sigma of [1, 2, 3]) {
    test(`${name} blurred by a bell of ${sigma} px by a general library`, async () => {
      const picture = await blurred(
        frame((x) => times(PAPER, pattern(x)), 0),
        sigma,
      );
      const edges = [200, 400].flatMap((left) =>
        edgesIn(wholeGreyOf(picture), { left, top: 200, side: 128 }, 0),
      );
      const read = medianOf(edges.map((e) => e.sigmaPx));
      // A pixel's own square and whole grey levels: a fifth, or a quarter of a pixel.
      assert.ok(Math.abs(read - sigma) < Math.max(0.25, sigma / 5), `read ${read}`);
      assert.ok(edges.every((e) => Math.min(e.acrossDeg, 180 - e.acrossDeg) < 3));
    });
  }
}

/** Strokes as fine as hairs, one in every square of 30 px, each in its own direction. */
const strokes = (x: number, y: number) => {
  const [i, j] = [Math.floor(x / 30), Math.floor(y / 30)];
  const turn = i * 2.4 + j * 1.1;
  const [u, v] = [(x % 30) - 15, (y % 30) - 15];
  const along = u * Math.cos(turn) + v * Math.sin(turn);
  const across = v * Math.cos(turn) - u * Math.sin(turn);
  return Math.abs(along) < 11 && Math.abs(across) < 1.2 ? 0.4 : 1;
};
const hairy = frame((x, y) => times(LIGHT_SKIN, strokes(x, y)));

test("the subject's blur grows with what the library blurred; sharp skin has hardly any", async () => {
  const read: number[] = [];
  for (const sigma of [0, 1, 2, 4]) {
    const picture = sigma === 0 ? hairy : await blurred(hairy, sigma);
    read.push(mustJudge(lookAt(picture).focus.subject).blurPx.value);
  }
  assert.ok(read[0]! < 3, `${read}`);
  // The sharpest of many places count, and strokes have ends: about half of the 8 and 16 px that a disc alike would have.
  assert.ok(read[1]! < 4 && read[2]! > 3.5 && read[3]! > 7, `${read}`);
});

test("smooth skin is not called unsharp: it is not judged", () => {
  const { subject } = lookAt(frame((x) => times(LIGHT_SKIN, 0.8 + (0.2 * x) / WIDE))).focus;
  assert.ok(!subject.judged && /detail/.test(subject.why));
});

test("the scale is sharp and the skin is not: two answers", async () => {
  const soft = await blurred(hairy, 3);
  const sharpScale = frame((x, y) => (y < 330 ? times(PAPER, x % 10 < 2 && y > 300 ? 0.05 : 1) : [0, 0, 0]));
  const rgb = soft.rgb.slice();
  for (let y = 270; y < 330; y++)
    rgb.set(sharpScale.rgb.subarray(3 * y * WIDE, 3 * (y + 1) * WIDE), 3 * y * WIDE);
  const { focus } = lookAt({ ...soft, rgb }, readingAlong(20, 880, 315, 10));
  assert.ok(mustJudge(focus.scale).blurPx.value < 3);
  assert.ok(mustJudge(focus.subject).blurPx.value > 5);
  assert.equal(HIGH, soft.heightPx);
});

test("movement spreads edges of one direction: told with its direction", () => {
  const still = (x: number, y: number) => (Math.hypot((x % 60) - 30, (y % 60) - 30) < 14 ? 0.45 : 1);
  const LENGTH = 9;
  const moved = frame((x, y) => {
    let sum = 0;
    for (let k = 0; k < LENGTH; k++) sum += still(x + k - LENGTH / 2, y);
    return times(LIGHT_SKIN, sum / LENGTH);
  });
  const motion = mustJudge(lookAt(moved).focus.subject).motion;
  assert.ok(motion && Math.min(motion.directionDeg, 180 - motion.directionDeg) < 10);
  assert.ok(Math.abs(motion.lengthPx - LENGTH) < 0.4 * LENGTH, `${motion.lengthPx}`);
  assert.equal(mustJudge(lookAt(frame((x, y) => times(LIGHT_SKIN, still(x, y)))).focus.subject).motion, null);
});
