import assert from "node:assert/strict";
import { test } from "node:test";
import { composeHomographies, invertHomography, seededRandom } from "@samescale/geometry";
import { alignPictures, type LaidOverOrNot } from "../../src/align/align-pictures.ts";
import { type Brightness, madeSkin, meanError, move, photograph, STILL } from "./made-skin.ts";

const NOTHING = { baseline: [], followup: [] };

function mustAlign(laid: LaidOverOrNot) {
  assert.ok(laid.aligned, laid.aligned ? "" : laid.reason);
  return laid;
}

/** The project's aim is 2 px at 1000 px; made pictures leave no label to blame, so half of that. */
const AIM_PX = 1;

for (const [seed, scale, turnDeg, lean, dx, dy] of [
  [11, 1.08, 10, 0.05, 20, -15],
  [13, 1.03, 35, 0.12, 5, 8],
] as const) {
  test(`a follow-up scaled by ${scale}, turned by ${turnDeg}° and leant, with a changed wound and other light, is laid over (seed ${seed})`, async () => {
    const random = seededRandom(seed);
    const skin = madeSkin(random);
    const later = madeSkin(random, 2);
    const wound = (x: number, y: number) => Math.hypot((x - 240) / 1.3, y - 170) < 40;
    const healed: Brightness = (x, y) => (wound(x, y) ? later(x, y) - 40 : skin(x, y));
    const h = move(scale, turnDeg, lean, dx, dy);
    const laid = mustAlign(
      await alignPictures(
        photograph(skin, STILL, { random }),
        photograph(healed, h, { random, gain: (x, y) => 0.8 + 0.0005 * x - 0.0004 * y }),
        NOTHING,
      ),
    );
    const error = meanError(laid.homography, invertHomography(h));
    assert.ok(error <= AIM_PX, `${error} px at 1000`);
    assert.ok(laid.residualPx < 1 && laid.matches >= 50);
  });
}

test("plain skin, an eighth as contrasty, is laid over", async () => {
  const random = seededRandom(21);
  const skin = madeSkin(random, 0.12);
  const h = move(1.05, -6, 0.03, 12, 9);
  const laid = mustAlign(
    await alignPictures(
      photograph(skin, STILL, { random, noise: 0.5 }),
      photograph(skin, h, { random, noise: 0.5 }),
      NOTHING,
    ),
  );
  assert.ok(meanError(laid.homography, invertHomography(h)) <= AIM_PX);
});

test("half the size is a scale of exactly 2 without half a pixel of shift", async () => {
  const random = seededRandom(31);
  const skin = madeSkin(random);
  const half = composeHomographies(
    [
      [0.5, 0, 0],
      [0, 0.5, 0],
      [0, 0, 1],
    ],
    STILL,
  );
  const laid = mustAlign(
    await alignPictures(
      photograph(skin, STILL, { random }),
      photograph(skin, half, { random, widthPx: 240, heightPx: 180 }),
      NOTHING,
    ),
  );
  // A mixed-up pixel centre would show as 0.5 px here, 1 px at 1000.
  const error = meanError(laid.homography, [
    [2, 0, 0],
    [0, 2, 0],
    [0, 0, 1],
  ]);
  assert.ok(error < 0.3, `${error} px at 1000`);
});

test("a subject that moved before a cloth that did not: the subject is laid over, or it is said", async () => {
  const random = seededRandom(41);
  const [skin, cloth] = [madeSkin(random), madeSkin(random, 1.5)];
  const body = (x: number, y: number) => ((x - 240) / 150) ** 2 + ((y - 180) / 130) ** 2 < 1;
  const h = move(1.06, 12, 0.02, 14, -8);
  const back = invertHomography(h);
  const before: Brightness = (x, y) => (body(x, y) ? skin(x, y) : cloth(x + 900, y));
  const after: Brightness = (x, y) => {
    const w = back[2][0] * x + back[2][1] * y + back[2][2];
    const px = (back[0][0] * x + back[0][1] * y + back[0][2]) / w;
    const py = (back[1][0] * x + back[1][1] * y + back[1][2]) / w;
    return body(px, py) ? skin(px, py) : cloth(x + 900, y);
  };
  const laid = mustAlign(
    await alignPictures(photograph(before, STILL, { random }), photograph(after, STILL, { random }), NOTHING),
  );
  assert.ok(meanError(laid.homography, back, body) <= AIM_PX);
});

test("two different subjects on one cloth that did not move are refused", async () => {
  const random = seededRandom(42);
  const [one, other, cloth] = [madeSkin(random), madeSkin(random), madeSkin(random, 1.5)];
  const body = (x: number, y: number) => ((x - 240) / 160) ** 2 + ((y - 180) / 130) ** 2 < 1;
  const on =
    (skin: Brightness): Brightness =>
    (x, y) =>
      body(x, y) ? skin(x, y) : cloth(x + 900, y);
  const laid = await alignPictures(
    photograph(on(one), STILL, { random }),
    photograph(on(other), STILL, { random }),
    NOTHING,
  );
  assert.equal(laid.aligned, false);
  assert.match(laid.aligned ? "" : laid.reason, /repeats in place|too few/);
});

test("a mark that lies elsewhere in the follow-up is left out when its region is given", async () => {
  const random = seededRandom(43);
  const skin = madeSkin(random, 0.5);
  const print = madeSkin(random, 8);
  const card = (x: number, y: number) => x > 150 && x < 330 && y > 130 && y < 250;
  const h = move(1.04, 5, 0, 10, 5);
  const back = invertHomography(h);
  const baseline = photograph((x, y) => (card(x, y) ? print(x, y) : skin(x, y)), STILL, { random });
  const shifted = photograph(skin, h, { random });
  const printed = photograph((x, y) => print(x - 60, y + 40), STILL, { random });
  for (let y = 0; y < 360; y++) {
    for (let x = 0; x < 480; x++) {
      const i = y * 480 + x;
      if (card(x - 60, y + 40)) shifted.grey[i] = printed.grey[i]!;
    }
  }
  const ring = (dx: number, dy: number) =>
    [
      [148 + dx, 128 + dy],
      [332 + dx, 128 + dy],
      [332 + dx, 252 + dy],
      [148 + dx, 252 + dy],
    ] as const;
  const laid = mustAlign(
    await alignPictures(baseline, shifted, { baseline: [ring(0, 0)], followup: [ring(60, -40)] }),
  );
  assert.ok(meanError(laid.homography, back) <= AIM_PX);
  assert.deepEqual(laid.warnings, []);
});
