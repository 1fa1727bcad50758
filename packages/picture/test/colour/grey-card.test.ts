import assert from "node:assert/strict";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { seededRandom } from "@samescale/geometry";
import { greyCard } from "../../src/colour/grey/grey-card.ts";
import { greyCardOfFile } from "../../src/colour/grey/grey-card-of-file.ts";
import type { Triple } from "../../src/colour/space.ts";
import { linearToSrgb, srgbToLinear } from "../../src/colour/space.ts";
import { sharp } from "../../src/decode/sharp.ts";
import { lightOf } from "./lamps.ts";

const [W, H] = [300, 200];

/** A picture of one surface, linear light by place, with noise of a code value. */
function picture(at: (x: number, y: number) => Triple) {
  const random = seededRandom(3);
  const rgb = new Uint8Array(W * H * 3);
  for (let y = 0, i = 0; y < H; y++) {
    for (let x = 0; x < W; x++) {
      for (const v of at(x, y)) {
        const code = 255 * linearToSrgb(Math.min(1, Math.max(0, v))) + random() + random() - 1;
        rgb[i++] = Math.max(0, Math.min(255, Math.round(code)));
      }
    }
  }
  return { widthPx: W, heightPx: H, rgb };
}

const BOX = [100, 60, 200, 140] as const;
const read = (at: (x: number, y: number) => Triple, reflectance: number | null = 0.18) =>
  greyCard(picture(at), BOX, reflectance);

test("a card under any lamp gives back the gains that lamp and exposure had", () => {
  for (const [kelvin, stops] of [
    [2800, -1],
    [3200, 0.3],
    [5500, 0],
    [8000, -2],
  ] as const) {
    const light = lightOf(kelvin, 5500);
    const k = 0.18 * 2 ** stops;
    const card = read(() => [k * light[0], k * light[1], k * light[2]]);
    assert.ok(!("reason" in card), `${kelvin} K: ${"reason" in card ? card.reason : ""}`);
    for (const c of [0, 1, 2] as const) {
      // 8 bits and noise over 8000 pixels: well under half a percent
      assert.ok(Math.abs(card.correction.matrix[c]![c]! * 2 ** stops * light[c] - 1) < 0.005, `${kelvin} K`);
    }
    assert.deepEqual(card.warnings, []);
  }
});

test("only neutral: the brightness stays", () => {
  const card = read(() => [0.3, 0.25, 0.2], null);
  assert.ok(!("reason" in card));
  const [r, g, b] = [0, 1, 2].map((c) => card.correction.matrix[c]![c]! * [0.3, 0.25, 0.2][c]!) as [
    number,
    number,
    number,
  ];
  assert.ok(Math.abs(r / g - 1) < 0.005 && Math.abs(b / g - 1) < 0.005);
  assert.ok(Math.abs(g - (0.2126 * 0.3 + 0.7152 * 0.25 + 0.0722 * 0.2)) < 0.003);
  assert.equal(card.exposureStops, null);
});

test("burnt out, black, coloured, uneven or beside the picture: refused with the reason", () => {
  const grey: Triple = [0.18, 0.18, 0.18];
  const reason = (card: ReturnType<typeof greyCard>) => ("reason" in card ? card.reason : "accepted");
  assert.match(reason(read(() => [1, 1, 1])), /burnt out/);
  assert.match(reason(read(() => [0.004, 0.004, 0.004])), /too dark/);
  // skins of light and dark, cloth, blood: coded colours
  for (const code of [
    [224, 172, 150],
    [141, 95, 76],
    [90, 62, 52],
    [74, 112, 150],
    [60, 122, 96],
    [160, 50, 48],
  ]) {
    const linear = code.map((v) => srgbToLinear(v / 255)) as unknown as Triple;
    assert.match(reason(read(() => linear)), /not a grey card/, code.join());
  }
  assert.match(reason(read((x) => (x < 150 ? grey : [0.12, 0.12, 0.12]))), /not even/);
  assert.match(reason(read((x, y) => (((x >> 3) + (y >> 3)) % 2 ? grey : [0.1, 0.1, 0.1]))), /not even/);
  for (const box of [
    [-5, 0, 50, 50],
    [250, 150, 301, 190],
    [Number.NaN, 0, 5, 5],
    [50, 50, 50, 90],
    [90, 90, 50, 50],
  ] as const) {
    assert.match(
      reason(
        greyCard(
          picture(() => grey),
          box,
          0.18,
        ),
      ),
      /box/,
    );
  }
});

test("light that falls off a little over the card is said", () => {
  const card = read((x) => {
    const k = 0.18 * Math.exp((-Math.log(1.25) * (x - 100)) / 100);
    return [k, k, k];
  });
  assert.ok(!("reason" in card));
  assert.ok(Math.abs(card.falloff - 0.25) < 0.03);
  assert.equal(card.warnings.length, 1);
});

let folder = "";
before(async () => {
  folder = await mkdtemp(join(tmpdir(), "samescale-grey-"));
});
after(async () => await rm(folder, { recursive: true, force: true }));

test("a file is corrected by a point on the card, what was assumed is said, and measured again it is neutral", async () => {
  const file = join(folder, "card.png");
  const { rgb } = picture((x, y) =>
    x > 80 && x < 220 && y > 40 && y < 160 ? [0.11, 0.09, 0.06] : [0.02, 0.05, 0.03],
  );
  await sharp(rgb, { raw: { width: W, height: H, channels: 3 } })
    .png()
    .toFile(file);
  const to = join(folder, "corrected.png");
  const answer = await greyCardOfFile({ file, at: [150, 100], correctedFile: to });
  assert.ok(answer.found, answer.found ? "" : answer.reason);
  assert.ok(answer.warnings.some((w) => w.includes("18 % was assumed")));
  assert.ok(answer.warnings.some((w) => w.startsWith("white balance and exposure only")));
  assert.deepEqual(answer.corrected?.inputs.length, 1);
  const again = await greyCardOfFile({ file: to, at: BOX, reflectance: 0.18 });
  assert.ok(again.found && again.castDeltaE00 < 0.5 && Math.abs(again.exposureStops ?? 9) < 0.03);
  for (const at of [
    [-10, 5],
    [Number.NaN, 5],
    [9999, 9999],
  ] as const) {
    assert.equal((await greyCardOfFile({ file, at })).found, false);
  }
});
