import assert from "node:assert/strict";
import { test } from "node:test";
import sharp from "sharp";
import { linearToSrgb } from "../../src/colour/space.ts";
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

/** L* of a colour by a general image library. */
async function lightnessOf(light: readonly number[]): Promise<number> {
  const pixel = Uint8Array.from(light, (v) => Math.round(255 * linearToSrgb(v)));
  const raw = { width: 1, height: 1, channels: 3 as const };
  const lab = await sharp(pixel, { raw }).toColourspace("lab").raw({ depth: "float" }).toBuffer();
  return lab.readFloatLE(0);
}

test("the skin's lightness as a general image library computes it; the backdrop plays no part", async () => {
  for (const skin of [LIGHT_SKIN, DARK_SKIN]) {
    const l = await lightnessOf(skin);
    for (const behind of [BLUE_CLOTH, [0.95, 0.95, 0.95]] as const) {
      const { lightness } = mustJudge(lookAt(frame((x, y) => (inArm(x, y) ? skin : behind))).exposure);
      // Eight bits and the noise of a dark skin's few levels.
      assert.ok(Math.abs(lightness - l) < 0.5, `${lightness} for ${l}`);
    }
  }
});

/** A white scale across the arm. */
const withScale = (skin: readonly [number, number, number], stops: number) =>
  frame((x, y) =>
    times(y > 270 && y < 330 && x > 100 && x < 800 ? PAPER : inArm(x, y) ? skin : BLUE_CLOTH, 2 ** stops),
  );
const reading = readingAlong(120, 780, 330, 5);

test("dark skin is not called underexposed where a white is known, and underexposed skin is, light or dark", () => {
  for (const skin of [LIGHT_SKIN, DARK_SKIN]) {
    for (const stops of [-1.5, 0]) {
      const found = mustJudge(mustJudge(lookAt(withScale(skin, stops), reading).exposure).stops);
      assert.ok(Math.abs(found.value - stops) < 0.1 && !found.isAtLeast, `${found.value}`);
    }
    const over = mustJudge(mustJudge(lookAt(withScale(skin, 1), reading).exposure).stops);
    assert.ok(over.isAtLeast && over.value > 0.25);
  }
});

test("without anything of known colour the exposure in stops is not judged, the clipping is", () => {
  const found = mustJudge(lookAt(frame((x, y) => (inArm(x, y) ? DARK_SKIN : BLUE_CLOTH))).exposure);
  assert.ok(!found.stops.judged && /dark skin/.test(found.stops.why));
  assert.equal(found.burntOut.share, 0);
  assert.equal(found.blocked, 0);
});

test("a lamp mirrored in wet skin is glare; skin that burns out gradually is not", () => {
  const glare = frame((x, y) => {
    if (!inArm(x, y)) return BLUE_CLOTH;
    return Math.hypot(x - 300, y - 300) < 14 ? [1.2, 1.2, 1.2] : LIGHT_SKIN;
  });
  const spot = mustJudge(lookAt(glare).exposure).burntOut;
  const share = (Math.PI * 14 ** 2) / (WIDE * 240);
  assert.ok(Math.abs(spot.glareShare - share) < 0.3 * share && spot.largestShare === 0);
  const burnt = frame((x, y) => (inArm(x, y) ? times(LIGHT_SKIN, 1 + (1.8 * x) / WIDE) : BLUE_CLOTH));
  const place = mustJudge(lookAt(burnt).exposure).burntOut;
  // Red reaches 1 where 0.52 (1 + 1.8 t) does: 49 % of the way.
  assert.ok(Math.abs(place.largestShare - 0.51) < 0.03 && place.glareShare < 0.005, `${place.largestShare}`);
});

test("blocked shadows of the skin are counted, those of the backdrop are not", () => {
  const picture = frame((x, y) => (inArm(x, y) ? times(LIGHT_SKIN, x < 225 ? 0.003 : 1) : [0, 0, 0]), 0);
  const { blocked } = mustJudge(lookAt(picture).exposure);
  // So dark a skin may go for backdrop as well; what is counted is no more than what there is.
  assert.ok(blocked <= 0.26, `${blocked}`);
});

for (const fromDeg of [60, 270]) {
  test(`light from ${fromDeg}°: side and strength`, () => {
    const [c, s] = [Math.cos((fromDeg * Math.PI) / 180), Math.sin((fromDeg * Math.PI) / 180)];
    // One stop over 600 px.
    const lit = (x: number, y: number) => 0.7 * 2 ** (((x - WIDE / 2) * c + (y - HIGH / 2) * s) / 600);
    const disc = (x: number, y: number) => Math.hypot(x - WIDE / 2, y - HIGH / 2) < 220;
    const light = mustJudge(
      lookAt(frame((x, y) => times(disc(x, y) ? LIGHT_SKIN : BLUE_CLOTH, lit(x, y)))).light,
    );
    const off = Math.abs(((light.fromDeg - fromDeg + 540) % 360) - 180);
    assert.ok(off < 4, `${light.fromDeg}`);
    // A disc of diameter d has the deviation d/4, an even stretch of the same deviation the length d sqrt(12) / 4.
    assert.ok(Math.abs(light.stops.value - (440 * Math.sqrt(12)) / 4 / 600) < 0.05);
    assert.equal(light.by, "subject and backdrop");
  });
}

test("even light comes from no side", () => {
  assert.ok(!lookAt(frame((x, y) => (inArm(x, y) ? LIGHT_SKIN : BLUE_CLOTH))).light.judged);
});
