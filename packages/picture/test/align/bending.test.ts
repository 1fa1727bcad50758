import assert from "node:assert/strict";
import { test } from "node:test";
import { contains, seededRandom } from "@samescale/geometry";
import { alignPictures, type LaidOver } from "../../src/align/align-pictures.ts";
import { bendAt } from "../../src/align/bending.ts";
import { type Brightness, madeSkin, photograph, STILL } from "./made-skin.ts";

/** A follow-up of 480 × 360 px whose skin lies up to `most` px beside the plane, and an outline in its middle. */
const WOUND = [
  [190, 130],
  [290, 130],
  [290, 220],
  [190, 220],
] as const;
const shift = (most: number) => (x: number, y: number) =>
  [most * Math.sin(x / 70), most * Math.cos(y / 60)] as const;

async function laidWith(most: number): Promise<LaidOver> {
  const random = seededRandom(71);
  const skin = madeSkin(random);
  const off = shift(most);
  const lying: Brightness = (x, y) => {
    const [dx, dy] = off(x, y);
    return skin(x - dx, y - dy);
  };
  const laid = await alignPictures(
    photograph(skin, STILL, { random }),
    photograph(lying, STILL, { random }),
    { baseline: [WOUND], followup: [] },
    { bend: true },
  );
  assert.ok(laid.aligned, laid.aligned ? "" : laid.reason);
  return laid;
}

test("skin that lies up to 3 px off is brought to its place, never more than 1.2 %, and nothing under the outline moves", async () => {
  const { bending, homography: h } = await laidWith(3);
  assert.ok(bending?.used, bending?.why ?? "");
  assert.ok(bending.agreement!.after > bending.agreement!.before);
  assert.ok(bending.maxPx <= 0.012 * 480 && bending.meanPx < bending.maxPx);
  const { shifts, ...grid } = bending.field!;
  const outline = { outline: WOUND.map(([x, y]) => ({ x, y })), holes: [] };
  let [plane, bent] = [0, 0];
  for (let y = 30; y < 360; y += 15) {
    for (let x = 30; x < 480; x += 15) {
      const [dx, dy] = bendAt(shifts, grid, x, y);
      if (contains(outline, { x, y })) {
        assert.deepEqual([dx, dy], [0, 0], `under the outline at ${x}, ${y}`);
        continue;
      }
      if (x > 150 && x < 330 && y > 90 && y < 260) continue; // beside the outline the bend fades out
      // the follow-up's place of the baseline's (x, y), carried to the baseline by the plane's map alone
      const [sx, sy] = shift(3)(x, y);
      const w = h[2][0] * (x + sx) + h[2][1] * (y + sy) + h[2][2];
      const qx = (h[0][0] * (x + sx) + h[0][1] * (y + sy) + h[0][2]) / w;
      const qy = (h[1][0] * (x + sx) + h[1][1] * (y + sy) + h[1][2]) / w;
      plane += Math.hypot(qx - x, qy - y);
      bent += Math.hypot(qx - x - dx, qy - y - dy);
    }
  }
  assert.ok(bent < 0.7 * plane, `bent ${bent}, plane ${plane}`);
});

test("skin that lies as the plane does is not bent, and it says why", async () => {
  const { bending } = await laidWith(0);
  assert.equal(bending?.used, false);
  assert.match(bending?.why ?? "", /follow the plane/);
  assert.equal(bending?.field, null);
});
