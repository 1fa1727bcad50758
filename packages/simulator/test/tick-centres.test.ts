import assert from "node:assert/strict";
import { test } from "node:test";
import { type Camera, type Picture, renderPicture, standardCamera, standardScene } from "../src/index.ts";
import { linearBetween } from "./support.ts";

/**
 * The darkness of one tick, weighed along a line across it, has its centre of gravity where the truth says. The lines
 * run through the truth's point and its neighbours along the tick, in the direction of the edge.
 */
function tickOffsetsPx(picture: Picture): number[] {
  const edge = picture.truth.things[0]!.edges[0]!;
  const inside = edge.ticks.filter((tick) => tick.inPicture).slice(1, -1);
  return inside.map((tick) => {
    const index = edge.ticks.indexOf(tick);
    const before = edge.ticks[index - 1]!.px;
    const after = edge.ticks[index + 1]!.px;
    const pitch = Math.hypot(after[0] - before[0], after[1] - before[1]) / 2;
    const ux = (after[0] - before[0]) / 2 / pitch;
    const uy = (after[1] - before[1]) / 2 / pitch;
    let weight = 0;
    let moment = 0;
    // Several lines along the tick: a single one meets the pixel grid at one phase only.
    for (let line = -20; line <= 20; line++) {
      const across = (line / 20) * ACROSS_MM;
      const cx = tick.px[0] - uy * across * edge.pxPerMm;
      const cy = tick.px[1] + ux * across * edge.pxPerMm;
      // Far enough to hold the whole tick and its blur, near enough for the paper to be even: a straight line.
      const half = pitch / 6;
      const left = linearBetween(picture, cx - ux * half, cy - uy * half);
      const right = linearBetween(picture, cx + ux * half, cy + uy * half);
      for (let step = -60; step <= 60; step++) {
        const s = (step / 60) * half;
        const paper = left + ((right - left) * (s + half)) / (2 * half);
        const dark = paper - linearBetween(picture, cx + ux * s, cy + uy * s);
        weight += dark;
        moment += dark * s;
      }
    }
    return moment / weight;
  });
}

/** The ticks are 6 mm long and told by their middle. */
const ACROSS_MM = 2;

/** A little noise, so that rounding to 8 bits averages out over the rows. */
const QUIET: Partial<Camera> = {
  noiseLevel: 1,
  iso: 100,
  sharpen: 0,
  vignetting: 0,
  widthPx: 1200,
  heightPx: 800,
};

async function meanAndWorst(camera: Camera, rotateDeg: number): Promise<{ mean: number; worst: number }> {
  const scene = standardScene({
    things: [
      {
        kind: "straight-scale",
        placement: { xMm: 0.37, yMm: 0.21, rotateDeg },
        lengthMm: 60,
        edges: ["cm"],
        style: { tickWidthMm: 1.2, numerals: "none", material: "paper", grain: 0 },
        word: false,
      },
    ],
  });
  const offsets = tickOffsetsPx(await renderPicture({ scene, camera, seed: 1 }));
  assert.ok(offsets.length >= 4, `${offsets.length} ticks in the picture`);
  return {
    mean: offsets.reduce((a, b) => a + b, 0) / offsets.length,
    worst: Math.max(...offsets.map(Math.abs)),
  };
}

// The pixel grid itself moves the centre of gravity of a bar w px wide by up to 1/(8w): 0.01 px for 12 px.
const TOLERANCE_PX = 0.02;

for (const [title, overrides, rotateDeg] of [
  ["square on", {}, 0],
  ["square on, scale turned by 31 degrees", {}, 31],
  ["leaning 20 degrees along the scale", { leanYDeg: 20 }, 0],
  ["leaning 20 degrees, turned, rolled", { leanXDeg: 20, rollDeg: -17 }, 24],
  ["with 2 % barrel distortion", { radialK1: -0.02 }, 12],
  ["with pincushion and an off-centre axis", { radialK1: 0.03, principalOffsetPx: { x: 25, y: -14 } }, -40],
] as const) {
  test(`tick centres lie where the truth says: ${title}`, async () => {
    const { mean, worst } = await meanAndWorst(standardCamera({ ...QUIET, ...overrides }), rotateDeg);
    assert.ok(Math.abs(mean) < TOLERANCE_PX / 2, `mean offset ${mean.toFixed(4)} px`);
    assert.ok(worst < TOLERANCE_PX, `worst offset ${worst.toFixed(4)} px`);
  });
}
