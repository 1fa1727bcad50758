import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { test } from "node:test";
import {
  frontalLight,
  itaDeg,
  mixedLight,
  obliqueLight,
  renderPicture,
  ringLight,
  skinLab,
  standardCamera,
  standardScene,
  standardSkin,
  type Thing,
} from "../src/index.ts";
import { linearAt, take } from "./support.ts";

const at = { xMm: 0, yMm: 0 };
const PATTERNS = [
  "chessboard",
  "grid",
  "squares",
  "comb",
  "keyboard",
  "text",
  "dial",
  "webbing",
  "corrugated",
  "weave",
  "stripes",
  "fence",
  "brickwork",
  "slats",
  "zip",
] as const;
const EVERY: readonly Thing[] = [
  {
    kind: "straight-scale",
    placement: { ...at, heightMm: 12 },
    lengthMm: 60,
    edges: ["half-mm", "inch/16"],
    style: { wear: 1, material: "clear" },
  },
  {
    kind: "straight-scale",
    placement: at,
    lengthMm: 60,
    edges: [{ blockMm: 10, subdivided: true, outlined: true }],
    style: { material: "steel", engraved: true, font: "lines" },
  },
  {
    kind: "straight-scale",
    placement: at,
    lengthMm: 60,
    edges: ["mm-by-ten"],
    bowMm: 5,
    liftMm: 4,
    style: { material: "wood", numerals: "along", baseLine: true },
  },
  {
    kind: "straight-scale",
    placement: at,
    lengthMm: 60,
    edges: ["inch/32", "mm-equal"],
    missingTicks: [2, 3],
    style: { polarity: "light-on-dark", numerals: "inverted", font: "slanted" },
  },
  { kind: "l-scale", placement: { ...at, tiltXDeg: 20 } },
  { kind: "label-scale", placement: at, lines: ["one", "two"] },
  { kind: "marker-scale", placement: at, scale: "straight-50" },
  { kind: "marker-scale", placement: at, scale: "l" },
  { kind: "marker-scale", placement: at, scale: "label" },
  { kind: "chart", placement: at },
  {
    kind: "card",
    placement: at,
    widthMm: 80,
    heightMm: 50,
    lines: ["A", "b"],
    code: { format: "code128", text: "FH204118", widthMm: 50, heightMm: 9 },
  },
  { kind: "wound", placement: at, seed: 1, lengthMm: 30, widthMm: 20, healed: 1 },
  { kind: "lesion", placement: at, seed: 1, lengthMm: 3, widthMm: 2 },
  { kind: "bruise", placement: at, seed: 1, lengthMm: 30, widthMm: 20, days: 40 },
  {
    kind: "cloth",
    placement: at,
    widthMm: 200,
    heightMm: 160,
    windowMm: { x: 0, y: 0, width: 60, height: 40 },
  },
  {
    kind: "mirror",
    placement: { ...at, heightMm: 10 },
    widthMm: 60,
    heightMm: 40,
    reflects: { xMm: 500, yMm: 0 },
  },
  { kind: "glare", placement: at, lengthMm: 8, widthMm: 5 },
  { kind: "finger", placement: at },
  { kind: "finger", placement: at, gloved: true },
  { kind: "blood", placement: at, lengthMm: 6, widthMm: 4 },
  { kind: "disc", placement: at, diameterMm: 5, rgb: [0.5, 0.1, 0.1] },
  { kind: "hairs", placement: at, count: 60, widthMm: 30, heightMm: 20 },
  {
    kind: "straight-scale",
    placement: at,
    lengthMm: 60,
    edges: ["mm"],
    patches: true,
    wraps: true,
    style: { material: "tape" },
  },
  {
    kind: "straight-scale",
    placement: at,
    lengthMm: 60,
    edges: [{ blockMm: 10, subdivided: false, numbered: "cm" }],
    word: true,
  },
  ...PATTERNS.map(
    (pattern): Thing => ({ kind: "pattern", pattern, placement: at, widthMm: 40, heightMm: 30, pitchMm: 3 }),
  ),
];

for (const thing of EVERY) {
  const name = thing.kind === "pattern" ? `${thing.kind} ${thing.pattern}` : thing.kind;
  test(`draws a ${name} in ordinary and in extreme pictures`, async () => {
    const ordinary = await take({ things: [thing], light: obliqueLight() }, { widthPx: 120, heightPx: 80 });
    const levels = new Set(ordinary.rgb);
    assert.ok(
      levels.size > 3 && (Math.max(...levels) > 60 || thing.kind === "pattern"),
      "something is to be seen",
    );
    for (const camera of [
      { widthPx: 1, heightPx: 1, sensorMm: { width: 24, height: 24 } },
      { widthPx: 60, heightPx: 40, magnification: 3, fNumber: 32, focusOffsetMm: 20 },
      { widthPx: 60, heightPx: 40, magnification: 0.02, leanXDeg: 40, rollDeg: 100 },
      { widthPx: 60, heightPx: 40, leanYDeg: -55, radialK1: -0.2, motion: { lengthPx: 5, directionDeg: 30 } },
    ]) {
      const picture = await take({ things: [thing] }, camera);
      assert.equal(picture.rgb.length, camera.widthPx * camera.heightPx * 3);
      assert.doesNotThrow(() => JSON.stringify(picture.truth));
    }
  });
}

test("draws every body, surface, tone and light", async () => {
  for (const body of [
    { shape: "limb", widthMm: 80, axisDeg: 20 },
    { shape: "hand", side: "left", aspect: "palmar" },
    { shape: "hand", side: "right", aspect: "dorsal" },
    { shape: "heel" },
    { shape: "portrait", seed: 4 },
  ] as const) {
    const { rgb } = await take({ body }, { widthPx: 90, heightPx: 60, magnification: 0.1 });
    assert.ok(new Set(rgb).size > 30);
  }
  for (const light of [frontalLight(), ringLight(), obliqueLight(), mixedLight()]) {
    const picture = await take(
      { light, surface: { shape: "cylinder", radiusMm: 30, axisDeg: 70 } },
      { widthPx: 90, heightPx: 60 },
    );
    const middle = linearAt(picture, 45, 30, 1);
    assert.ok(middle > 0.05 && middle < 0.7, "lit at the target");
  }
});

test("six skin tones from very light to dark, each in its class of the typology angle", async () => {
  const limits = [55, 41, 28, 10, -30, -90]; // Chardon 1991, from memory
  let before = 1;
  for (const tone of [1, 2, 3, 4, 5, 6] as const) {
    const ita = itaDeg(skinLab(tone));
    assert.ok(ita > limits[tone - 1]! && (tone === 1 || ita <= limits[tone - 2]!), `tone ${tone}: ${ita}`);
    const picture = await take(
      { skin: standardSkin({ tone, hairs: 0, moles: 0 }) },
      { widthPx: 60, heightPx: 40 },
    );
    let sum = 0;
    for (let i = 0; i < 2400; i++) sum += linearAt(picture, i % 60, Math.floor(i / 60));
    assert.ok(sum / 2400 < before);
    before = sum / 2400;
  }
});

test("the same shot gives the same bytes, another seed another noise, another patient another skin", async () => {
  const camera = standardCamera({ widthPx: 240, heightPx: 160 });
  const things: Thing[] = [{ kind: "l-scale", placement: { xMm: -20, yMm: -15 } }];
  const hashOf = async (seed: number, patient: number): Promise<string> => {
    const scene = standardScene({ skin: standardSkin({ seed: patient }), things });
    return createHash("sha256")
      .update((await renderPicture({ scene, camera, seed })).rgb)
      .digest("hex");
  };
  const [first, again, otherNoise, otherSkin] = [
    await hashOf(1, 1),
    await hashOf(1, 1),
    await hashOf(2, 1),
    await hashOf(1, 2),
  ];
  assert.equal(first, again);
  assert.equal(new Set([first, otherNoise, otherSkin]).size, 3);
});

test("the skin's marks stay where they are, seen from nearer or further, tilted or not", async () => {
  // One patient's mole, found as the darkest place within 3 mm of where the wide picture shows it.
  const skin = standardSkin({ seed: 77, tone: 1, hairs: 0, moles: 2, vessels: 0 });
  const darkest = async (
    camera: object,
    near: readonly [number, number] | null,
  ): Promise<readonly [number, number]> => {
    const picture = await take({ skin }, { widthPx: 600, heightPx: 400, fNumber: 22, ...camera });
    const [h] = [picture.truth.surface.homographyMmToPx];
    let best: readonly [number, number] = [0, 0];
    let least = Infinity;
    for (let y = -20; y <= 20; y += 0.2) {
      for (let x = -30; x <= 30; x += 0.2) {
        if (near && Math.hypot(x - near[0], y - near[1]) > 3) continue;
        const w = h[2][0] * x + h[2][1] * y + h[2][2];
        const px = Math.floor((h[0][0] * x + h[0][1] * y + h[0][2]) / w);
        const py = Math.floor((h[1][0] * x + h[1][1] * y + h[1][2]) / w);
        let sum = 0;
        for (let j = -2; j <= 2; j++) for (let i = -2; i <= 2; i++) sum += linearAt(picture, px + i, py + j);
        if (sum < least) {
          least = sum;
          best = [x, y];
        }
      }
    }
    return best;
  };
  const wide = await darkest({ magnification: 0.2 }, null);
  for (const camera of [{ magnification: 0.3 }, { magnification: 0.2, leanXDeg: 15, rollDeg: 40 }]) {
    const seen = await darkest(camera, wide);
    assert.ok(Math.hypot(seen[0] - wide[0], seen[1] - wide[1]) < 0.8, `${wide} and ${seen}`);
  }
});

test("impossible cameras are refused with the reason", async () => {
  for (const [overrides, says] of [
    [{ magnification: 0 }, /magnification/],
    [{ fNumber: Number.NaN }, /fNumber/],
    [{ widthPx: 10.5 }, /whole number/],
    [{ leanXDeg: 80 }, /leans/],
    [{ sensorMm: { width: 36, height: 36 } }, /square/],
    [{ widthPx: 30000, heightPx: 20000 }, /megapixels/],
    [{ orientation: 9 }, /orientation/],
    [{ focusOffsetMm: -5000 }, /focus/],
  ] as const) {
    await assert.rejects(take({}, overrides), (thrown: Error & { code?: string }) => {
      assert.equal(thrown.code, "SIM_CAMERA");
      assert.match(thrown.message, says);
      return true;
    });
  }
});

test("a text that a code cannot hold is refused", async () => {
  const thing = {
    kind: "card",
    placement: at,
    widthMm: 80,
    heightMm: 50,
    lines: [],
    code: { format: "datamatrix", text: "x".repeat(5000), widthMm: 40 },
  } as const;
  await assert.rejects(take({ things: [thing] }, { widthPx: 60, heightPx: 40 }), { code: "SIM_CODE" });
});
