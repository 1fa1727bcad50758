import assert from "node:assert/strict";
import { test } from "node:test";
import {
  renderPicture,
  type SkinTone,
  standardCamera,
  standardScene,
  standardSkin,
} from "@samescale/simulator";
import type { OutlineRegion } from "../../src/answers.ts";
import type { UprightPicture } from "../../src/decode/picture.ts";
import { proposeOutline } from "../../src/outline/propose.ts";

const [WIDTH, HEIGHT] = [600, 400];
const CENTRE = [WIDTH / 2, HEIGHT / 2] as const;

/** A pigmented lesion some 150 px long. */
const lesion = (tone: SkinTone, seed: number) =>
  renderPicture({
    scene: standardScene({
      skin: standardSkin({ tone, seed, hairs: 0, moles: 0.2 }),
      things: [
        {
          kind: "lesion",
          placement: { xMm: 0, yMm: 0, rotateDeg: 20 },
          seed,
          lengthMm: 11,
          widthMm: 9,
          irregularity: 0.2,
          darkness: 1.3,
          variety: 0.2,
        },
      ],
    }),
    camera: standardCamera({ widthPx: WIDTH, heightPx: HEIGHT, magnification: 0.82 }),
    seed,
  });

/** The same picture with all that is right of its middle blurred, the more the further right, three running means a line. */
function blurredOnTheRight({ rgb, widthPx, heightPx }: UprightPicture): UprightPicture {
  let from = Float32Array.from(rgb);
  const RADIUS = 13;
  for (let pass = 0; pass < 6; pass++) {
    const to = new Float32Array(from.length);
    const [stepX, stepY] = pass % 2 === 0 ? [1, 0] : [0, 1];
    for (let y = 0; y < heightPx; y++) {
      for (let x = 0; x < widthPx; x++) {
        for (let c = 0; c < 3; c++) {
          let sum = 0;
          for (let k = -RADIUS; k <= RADIUS; k++) {
            const sx = Math.min(widthPx - 1, Math.max(0, x + k * stepX));
            const sy = Math.min(heightPx - 1, Math.max(0, y + k * stepY));
            sum += from[3 * (sy * widthPx + sx) + c]!;
          }
          to[3 * (y * widthPx + x) + c] = sum / (2 * RADIUS + 1);
        }
      }
    }
    from = to;
  }
  const mixed = rgb.map((value, i) => {
    const x = (Math.floor(i / 3) % widthPx) - CENTRE[0];
    const share = Math.min(1, Math.max(0, x / 40));
    return Math.round(value + share * (from[i]! - value));
  });
  return { rgb: mixed, widthPx, heightPx };
}

/** Share of the outline's points on one side that lie in a stretch of doubt. */
function doubted({ outline, uncertain = [] }: OutlineRegion, isOn: (x: number) => boolean): number {
  const flagged = new Set<number>();
  for (const { fromIndex, toIndex } of uncertain) {
    for (let i = fromIndex; i !== toIndex; i = (i + 1) % outline.length) flagged.add(i);
  }
  const on = [...outline.keys()].filter((i) => isOn(outline[i]![0]));
  return on.filter((i) => flagged.has(i)).length / on.length;
}

for (const tone of [2, 5] as const) {
  test(`a rendered lesion on skin of tone ${tone}: the blurred side is told as uncertain, the sharp side is not`, async () => {
    const sharp = await lesion(tone, 40 + tone);
    const [clear] = proposeOutline(sharp, { inside: [CENTRE], outside: [] }).regions;
    assert.ok(doubted(clear!, () => true) < 0.05, `sharp all round: ${doubted(clear!, () => true)}`);
    const [region] = proposeOutline(blurredOnTheRight(sharp), { inside: [CENTRE], outside: [] }).regions;
    const [right, left] = [
      doubted(region!, (x) => x > CENTRE[0] + 45),
      doubted(region!, (x) => x < CENTRE[0]),
    ];
    assert.ok(right > 0.75, `blurred side: ${right}`);
    assert.ok(left < 0.05, `sharp side: ${left}`);
    for (const { uPx } of region!.uncertain!) assert.ok(uPx > 3 && uPx < 30, `${uPx} px`);
  });
}

test("what a hand drew is not doubted", async () => {
  const points = Array.from({ length: 60 }, (_, k) => {
    const a = (2 * Math.PI * k) / 60;
    return [CENTRE[0] + 70 * Math.cos(a), CENTRE[1] + 70 * Math.sin(a)] as const;
  });
  const steps = [{ do: "draw", points, inside: true }] as const;
  const picture = blurredOnTheRight(await lesion(2, 42));
  const [region] = proposeOutline(picture, { inside: [], outside: [], steps }).regions;
  assert.deepEqual(region!.uncertain, []);
});
