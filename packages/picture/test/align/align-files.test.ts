import assert from "node:assert/strict";
import { existsSync, readFileSync } from "node:fs";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { invertHomography, seededRandom } from "@samescale/geometry";
import { alignFiles } from "../../src/align/align-files.ts";
import type { AlignAnswer, Aligned } from "../../src/answers.ts";
import { sharp } from "../../src/decode/sharp.ts";
import { madeSkin, meanError, move, photograph, STILL } from "./made-skin.ts";

let folder = "";
before(async () => {
  folder = await mkdtemp(join(tmpdir(), "samescale-align-"));
});
after(async () => await rm(folder, { recursive: true, force: true }));

function mustAlign(answer: AlignAnswer): Aligned {
  assert.ok(answer.aligned, answer.aligned ? "" : answer.reason);
  return answer;
}

/** A large picture whose odd size is not reduced by a whole factor, and a window cut out of it. */
test("a window cut out of a large picture is laid back to the pixel it came from", async () => {
  const random = seededRandom(61);
  const skin = madeSkin(random);
  const small = photograph(skin, move(1, 0, 0, 0, 0), { random, widthPx: 610, heightPx: 451 });
  const enlarged = await sharp(Buffer.from(Uint8Array.from(small.grey)), {
    raw: { width: 610, height: 451, channels: 1 },
  })
    .resize(2135, 1579, { kernel: "cubic" })
    .png({ compressionLevel: 1 })
    .toBuffer();
  const [baseline, followup] = [join(folder, "whole.png"), join(folder, "window.png")];
  await sharp(enlarged).toFile(baseline);
  await sharp(enlarged).extract({ left: 213, top: 101, width: 1731, height: 1301 }).toFile(followup);
  const answer = mustAlign(await alignFiles({ baseline, followup }));
  // window (x, y) is whole (x + 213, y + 101): exact in outer-corner coordinates whatever the reductions
  for (const [x, y] of [
    [0, 0],
    [1731, 0],
    [1731, 1301],
    [17.25, 3.5],
  ] as const) {
    const h = answer.homography;
    const w = h[2][0] * x + h[2][1] * y + h[2][2];
    const dx = (h[0][0] * x + h[0][1] * y + h[0][2]) / w - (x + 213);
    const dy = (h[1][0] * x + h[1][1] * y + h[1][2]) / w - (y + 101);
    // reduced about 1.6-fold for the comparison: 0.2 px there; half a pixel mixed up would be more
    assert.ok(Math.hypot(dx, dy) < 0.35, `${dx}, ${dy} at ${x}, ${y}`);
  }
  assert.equal(answer.homography[2][2], 1);
  assert.ok(Math.abs(answer.scaleChange - 1) < 0.001 && Math.abs(answer.rotationDeg) < 0.05);
});

test("the same file twice is laid over itself, and said to be the same picture", async () => {
  const random = seededRandom(62);
  const picture = photograph(madeSkin(random), STILL, { random });
  const file = join(folder, "same.png");
  await sharp(Buffer.from(Uint8Array.from(picture.grey)), { raw: { width: 480, height: 360, channels: 1 } })
    .png()
    .toFile(file);
  const answer = mustAlign(await alignFiles({ baseline: file, followup: file }));
  assert.ok(answer.warnings.includes("both files hold the same picture"));
});

test("points that a person placed are used as they are", async () => {
  const file = join(folder, "same.png");
  const answer = mustAlign(
    await alignFiles({
      baseline: file,
      followup: file,
      points: [
        [10, 10, 20, 30],
        [410, 10, 420, 30],
        [410, 310, 420, 330],
        [10, 310, 20, 330],
      ],
    }),
  );
  assert.equal(answer.method, "points");
  assert.equal(answer.matches, 4);
  assert.ok(Math.abs(answer.homography[0][2] + 10) < 1e-6 && Math.abs(answer.homography[1][2] + 20) < 1e-6);
});

test("a 16-bit picture on its side, of another size, is laid over an 8-bit one as it is seen", async () => {
  const random = seededRandom(63);
  const skin = madeSkin(random);
  const [baseline, followup] = [join(folder, "eight.jpg"), join(folder, "sixteen.tif")];
  const first = photograph(skin, STILL, { random });
  await sharp(Buffer.from(Uint8Array.from(first.grey)), { raw: { width: 480, height: 360, channels: 1 } })
    .jpeg({ quality: 95 })
    .toFile(baseline);
  const h = move(1.25, 4, 0, 60, 45);
  const second = photograph(skin, h, { random, widthPx: 600, heightPx: 450 });
  const wide = Uint16Array.from(second.grey, (v) => 257 * v);
  // stored a quarter turn anticlockwise, to be turned clockwise when seen (orientation 6)
  const stored = new Uint16Array(wide.length);
  for (let y = 0; y < 450; y++) {
    for (let x = 0; x < 600; x++) stored[(599 - x) * 450 + y] = wide[y * 600 + x]!;
  }
  await sharp(stored, { raw: { width: 450, height: 600, channels: 1 } })
    .toColourspace("grey16")
    .tiff()
    .withMetadata({ orientation: 6 })
    .toFile(followup);
  const answer = mustAlign(await alignFiles({ baseline, followup }));
  const error = meanError(answer.homography, invertHomography(h));
  assert.ok(error < 1, `${error} px at 1000`);
});

test("1:1 over 1:10 is refused as another view, by pictures and by points", async () => {
  const random = seededRandom(64);
  const skin = madeSkin(random);
  const [near, far] = [join(folder, "near.png"), join(folder, "far.png")];
  for (const [file, h] of [
    [near, STILL],
    [far, move(0.1, 0, 0, 0, 0)],
  ] as const) {
    const { grey } = photograph(skin, h, { random });
    await sharp(Buffer.from(Uint8Array.from(grey)), { raw: { width: 480, height: 360, channels: 1 } })
      .png()
      .toFile(file);
  }
  const alone = await alignFiles({ baseline: near, followup: far });
  assert.equal(alone.aligned, false);
  const placed = await alignFiles({
    baseline: near,
    followup: far,
    points: [
      [0, 0, 216, 162],
      [480, 0, 264, 162],
      [0, 360, 216, 198],
      [480, 360, 264, 198],
    ],
  });
  assert.ok(!placed.aligned);
  assert.match(placed.reason, /different view/);
});

test("a scale that was read in another file is refused", async () => {
  const file = join(folder, "same.png");
  const none = { file: "x", widthPx: 1, heightPx: 1, found: false, reason: "none" } as const;
  const answer = await alignFiles({
    baseline: file,
    followup: file,
    scales: { baseline: none, followup: { ...none, sha256: "0".repeat(64) } },
  });
  assert.ok(!answer.aligned);
  assert.match(answer.reason, /read in another picture/);
});

const pairs = new URL("../../../../../shared/data/pairs/", import.meta.url);
const absent = existsSync(pairs) ? false : "the photographs (../shared/data/pairs) are not here";

/** One plane and one foot on two visits; the score program runs over all pairs. */
for (const name of ["box-front.png", "foot-0149.png"]) {
  test(`${name} and its follow-up are laid over as labelled, or it is said`, { skip: absent }, async () => {
    const truth = JSON.parse(readFileSync(new URL("truth.json", pairs), "utf8")) as {
      items: {
        a: string;
        b: string;
        sizeA: number[];
        uncertaintyPx: number;
        points: { ax: number; ay: number; bx: number; by: number }[];
      }[];
    };
    const pair = truth.items.find((p) => p.a === name)!;
    const path = (file: string) => fileURLToPath(new URL(file, pairs));
    const answer = mustAlign(await alignFiles({ baseline: path(pair.a), followup: path(pair.b) }));
    const k = 1000 / Math.max(...pair.sizeA);
    const h = answer.homography;
    const off = pair.points.map(({ ax, ay, bx, by }) => {
      // labels count from the first pixel's centre
      const [x, y] = [bx + 0.5, by + 0.5];
      const w = h[2][0] * x + h[2][1] * y + h[2][2];
      return Math.hypot(
        (h[0][0] * x + h[0][1] * y + h[0][2]) / w - ax - 0.5,
        (h[1][0] * x + h[1][1] * y + h[1][2]) / w - ay - 0.5,
      );
    });
    const mean = (k * off.reduce((s, d) => s + d, 0)) / off.length;
    assert.ok(mean <= 2 + k * pair.uncertaintyPx, `${mean} px at 1000`);
    if (name.startsWith("foot")) assert.ok(answer.warnings.length > 0);
  });
}
