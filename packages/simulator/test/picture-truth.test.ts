import assert from "node:assert/strict";
import { existsSync, readFileSync } from "node:fs";
import { test } from "node:test";
import { airyDiscMm, depthOfField } from "@samescale/optics";
import { blurDiameterPx, lensOf, standardCamera, standardSkin } from "../src/index.ts";
import { linearAt, linearBetween, NO_LAMPS, take } from "./support.ts";

const DARK = [0.02, 0.02, 0.02] as const;
const WHITE_SHEET = {
  kind: "straight-scale",
  placement: { xMm: 0, yMm: 0 },
  lengthMm: 200,
  widthMm: 160,
  edges: ["cm"],
  style: { numerals: "none", inkDensity: 0, grain: 0, material: "plastic" },
  word: false,
} as const;

test("the darkness of a disc weighs as much as its true area", async () => {
  const disc = { kind: "disc", placement: { xMm: 1.3, yMm: -0.7 }, diameterMm: 22, rgb: DARK } as const;
  const picture = await take({ light: NO_LAMPS, things: [WHITE_SHEET, disc] }, { fNumber: 11 });
  const paper = linearAt(picture, 40, 40);
  let share = 0;
  for (let y = 0; y < picture.heightPx; y++) {
    for (let x = 0; x < picture.widthPx; x++) share += (paper - linearAt(picture, x, y)) / (paper - DARK[1]);
  }
  const areaMm2 = share / picture.truth.surface.pxPerMm ** 2;
  // Half a grey level of 8-bit rounding over the whole sheet is about 0.1 % of this disc.
  assert.ok(Math.abs(areaMm2 / (Math.PI * 11 * 11) - 1) < 0.002, `${areaMm2}`);
});

test("a wound's pixels fill the outline that the truth states, leaning too", async () => {
  const wound = {
    kind: "wound",
    placement: { xMm: 4, yMm: 2, rotateDeg: 25 },
    seed: 6,
    lengthMm: 50,
    widthMm: 34,
    slough: 0,
    wet: 0,
    maceration: 0,
  } as const;
  const skin = standardSkin({ tone: 1, hairs: 0, moles: 0 });
  const picture = await take(
    { skin, light: NO_LAMPS, things: [wound] },
    { leanYDeg: 18, rollDeg: 9, widthPx: 450, heightPx: 300 },
  );
  const region = picture.truth.things[0]!.regions[0]!;
  let seen = 0;
  let agree = 0;
  for (let y = 0; y < picture.heightPx; y++) {
    for (let x = 0; x < picture.widthPx; x++) {
      // Flesh is far redder than any skin here.
      const red = linearAt(picture, x, y, 0) > 2.6 * linearAt(picture, x, y, 1);
      const inside = isInside(region.outlinePx, x + 0.5, y + 0.5);
      if (red) seen++;
      if (red && inside) agree++;
    }
  }
  const truePx = polygonArea(region.outlinePx);
  assert.ok(Math.abs(seen / truePx - 1) < 0.02, `${seen} px seen, ${truePx} px true`);
  assert.ok(agree / truePx > 0.98);
});

test("a wound closes: each stage smaller and inside the one before, a lesion keeps its seed's shape", async () => {
  const areas: number[] = [];
  let before: readonly (readonly [number, number])[] | null = null;
  for (const healed of [0, 0.2, 0.4, 0.6]) {
    const { truth } = await take(
      {
        things: [
          { kind: "wound", placement: { xMm: 0, yMm: 0 }, seed: 9, lengthMm: 40, widthMm: 26, healed },
        ],
      },
      { widthPx: 60, heightPx: 40 },
    );
    const { areaMm2, outlineMm } = truth.things[0]!.regions[0]!;
    areas.push(areaMm2);
    if (before) for (const [x, y] of outlineMm) assert.ok(isInside(before, x * 0.999, y * 0.999));
    before = outlineMm;
  }
  assert.ok(
    areas.every((area, i) => i === 0 || area < areas[i - 1]! * 0.85),
    areas.join(" "),
  );
});

test("the blur of a plane out of focus has the variance of the disc that geometry gives", async () => {
  // The nearly straight rim of a large disc: its derivative is the line spread, whose variance is d²/16 for a disc of diameter d.
  for (const focusOffsetMm of [70, -60]) {
    const camera = { focusOffsetMm, fNumber: 8 };
    const picture = await take(
      {
        light: NO_LAMPS,
        things: [WHITE_SHEET, { kind: "disc", placement: { xMm: 0, yMm: 200 }, diameterMm: 400, rgb: DARK }],
      },
      camera,
    );
    const lens = lensOf(standardCamera({ ...camera, widthPx: 900, heightPx: 600 }));
    const d = blurDiameterPx(lens, lens.objectMm);
    // By hand, thin lens: 1/v' = 1/f - 1/u; c = A |v' - v| / v'.
    const behind = 1 / (1 / 100 - 1 / lens.objectMm);
    const byHand = ((100 / 8) * Math.abs(behind - lens.imageMm)) / behind / (36 / 900);
    assert.ok(Math.abs(d - byHand) < 1e-9);
    assert.ok(d > 8, `${d} px`);
    const edgeRow = 300;
    const reach = Math.ceil(d);
    const profile = Array.from({ length: 2 * reach + 1 }, (_, i) =>
      linearAt(picture, 450, edgeRow - reach + i),
    );
    const slopes = profile.slice(1).map((v, i) => profile[i]! - v);
    const total = slopes.reduce((a, b) => a + b, 0);
    const mean = slopes.reduce((sum, s, i) => sum + s * i, 0) / total;
    const variance = slopes.reduce((sum, s, i) => sum + s * (i - mean) ** 2, 0) / total;
    // Box pixels add 1/12 and their differences another 1/12, diffraction about 0.02 px².
    assert.ok(
      Math.abs((variance - 1 / 6) / ((d * d) / 16) - 1) < 0.03,
      `variance ${variance}, disc ${(d * d) / 16}`,
    );
  }
});

test("at the near and far limits of the depth of field the disc is the circle of confusion", () => {
  const lens = lensOf(standardCamera({ magnification: 0.1, fNumber: 11 }));
  const { nearMm, farMm } = depthOfField({
    focalMm: 100,
    magnification: 0.1,
    fNumber: 11,
    cocMm: 0.03,
    pupilRatio: 1,
  }) as { nearMm: number; farMm: number };
  for (const depth of [nearMm, farMm]) {
    assert.ok(Math.abs(blurDiameterPx(lens, depth) * lens.pitchMm - 0.03) < 0.0003, `${depth}`);
  }
});

test("diffraction softens an edge by as much as an Airy pattern's core", async () => {
  const camera = { fNumber: 64, widthPx: 3000, heightPx: 30, sensorMm: { width: 36, height: 0.36 } };
  const bar = { ...WHITE_SHEET, placement: { xMm: 0, yMm: 0 }, lengthMm: 20, marginMm: 0 } as const;
  const dark = {
    kind: "cloth",
    placement: { xMm: 0, yMm: 0 },
    widthMm: 300,
    heightMm: 100,
    folds: 0,
    rgb: DARK,
  } as const;
  const picture = await take({ light: NO_LAMPS, things: [dark, bar] }, camera);
  const edge = 1500 + 10 * picture.truth.surface.pxPerMm;
  const at = (level: number): number => {
    const [low, high] = [linearAt(picture, 2900, 15), linearAt(picture, 1500, 15)];
    for (let x = edge - 12; x < edge + 12; x += 0.01)
      if (linearBetween(picture, x, 15) < low + level * (high - low)) return x;
    throw new Error("no edge");
  };
  const rise = (at(0.25) - at(0.75)) * (36 / 3000);
  const expected = airyDiscMm(80, 550) * airyEdgeRise(); // f/64 at 1:4 works as f/80
  // A Gaussian stands for the pattern's core; its far rings are left out.
  assert.ok(Math.abs(rise / expected - 1) < 0.12, `${rise} mm, Airy ${expected} mm`);
});

const CHART = new URL("../../../../shared/reference/chart24-lab-d50.csv", import.meta.url);

test("under neutral light the chart's patches have the published colours", {
  skip: existsSync(CHART) ? false : "no reference folder here",
}, async () => {
  const rows = readFileSync(CHART, "utf8")
    .trim()
    .split("\n")
    .slice(1)
    .map((line) => line.split(","));
  const picture = await take({
    light: NO_LAMPS,
    things: [{ kind: "chart", placement: { xMm: 0, yMm: 0, rotateDeg: 7 } }],
  });
  const points = new Map(picture.truth.things[0]!.points.map(({ name, px }) => [name, px]));
  rows.forEach((row, i) => {
    const [x, y] = points.get(`patch ${i + 1}`)!;
    const p = (Math.floor(y) * picture.widthPx + Math.floor(x)) * 3;
    const published = row.slice(11, 14).map(Number); // computed from the published Lab by another program
    published.forEach((value, c) => {
      assert.ok(
        Math.abs(picture.rgb[p + c]! - value) <= 1,
        `patch ${row[1]}: ${picture.rgb.slice(p, p + 3)} for ${published}`,
      );
    });
  });
});

test("warm light shows, and the white balance takes it out again", async () => {
  const light = { lamps: [], ambient: { level: 1, kelvin: 3200 } };
  const whiteOf = async (whiteBalanceK: number): Promise<number> => {
    const picture = await take(
      { light, things: [WHITE_SHEET] },
      { widthPx: 60, heightPx: 40, whiteBalanceK, exposureStops: -1 },
    );
    return linearAt(picture, 30, 20, 0) / linearAt(picture, 30, 20, 2);
  };
  assert.ok((await whiteOf(5500)) > 1.8);
  assert.ok(Math.abs((await whiteOf(3200)) - 1) < 0.04);
});

test("noise follows shot and read noise, doubling in variance with the ISO", async () => {
  const varianceAt = async (iso: number): Promise<number> => {
    const picture = await take(
      { light: NO_LAMPS, things: [WHITE_SHEET] },
      {
        noiseLevel: 1,
        iso,
        widthPx: 300,
        heightPx: 200,
        sensorMm: { width: 1.5, height: 1 },
        exposureStops: -1,
      },
      3,
    );
    let [sum, sum2] = [0, 0];
    for (let y = 10; y < 190; y++)
      for (let x = 10; x < 290; x++) {
        const v = linearAt(picture, x, y);
        sum += v;
        sum2 += v * v;
      }
    const n = 180 * 280;
    return sum2 / n - (sum / n) ** 2;
  };
  const [low, high] = [await varianceAt(1600), await varianceAt(6400)];
  assert.ok(Math.abs(high / low / 4 - 1) < 0.05, `${high / low}`);
});

test("motion blur spreads an edge along its direction only", async () => {
  const profile = async (directionDeg: number): Promise<number> => {
    const picture = await take(
      {
        light: NO_LAMPS,
        things: [
          { ...WHITE_SHEET, lengthMm: 400 },
          { kind: "disc", placement: { xMm: 200, yMm: 0 }, diameterMm: 400, rgb: DARK },
        ],
      },
      { motion: { lengthPx: 12, directionDeg } },
    );
    const row = Array.from({ length: 60 }, (_, i) => linearAt(picture, 420 + i, 300));
    return row.filter((v) => v > 0.06 && v < 0.8).length;
  };
  const [along, across] = [await profile(0), await profile(90)];
  assert.ok(along >= 10 && along <= 13, `${along} px`);
  assert.ok(across <= 2, `${across} px`);
});

/** Distance over which an Airy pattern's edge rises from 25 to 75 %, in disc diameters: brute integration. */
function airyEdgeRise(): number {
  const j1 = (x: number): number => {
    let sum = 0;
    for (let i = 0; i < 200; i++) {
      const t = ((i + 0.5) / 200) * Math.PI;
      sum += Math.cos(t - x * Math.sin(t));
    }
    return sum / 200;
  };
  const radial = Array.from({ length: 1200 }, (_, i) => {
    const x = (i + 0.5) * 0.05;
    return ((2 * j1(x)) / x) ** 2;
  });
  const line = Array.from({ length: 400 }, (_, i) => {
    let sum = 0;
    for (let k = 0; k < 400; k++)
      sum += radial[Math.floor(Math.hypot((i + 0.5) * 0.1, (k + 0.5) * 0.1) / 0.05)] ?? 0;
    return sum;
  });
  const half = line.reduce((sum, v) => sum + v, 0);
  let sum = 0;
  // From the middle outwards until a quarter of the whole (half of this side) is passed.
  const at = line.findIndex((v) => {
    sum += v;
    return sum > half / 2;
  });
  const quarter = (at + 1 - (sum - half / 2) / line[at]!) * 0.1;
  return (2 * quarter) / (2 * 3.8317); // the first dark ring lies at x = 3.8317
}

function isInside(ring: readonly (readonly [number, number])[], x: number, y: number): boolean {
  let inside = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const [xi, yi] = ring[i]!;
    const [xj, yj] = ring[j]!;
    if (yi > y !== yj > y && x < ((xj - xi) * (y - yi)) / (yj - yi) + xi) inside = !inside;
  }
  return inside;
}

function polygonArea(ring: readonly (readonly [number, number])[]): number {
  return (
    Math.abs(
      ring.reduce((sum, [x, y], i) => {
        const [nx, ny] = ring[(i + 1) % ring.length]!;
        return sum + x * ny - nx * y;
      }, 0),
    ) / 2
  );
}
