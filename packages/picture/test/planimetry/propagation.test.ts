import assert from "node:assert/strict";
import { test } from "node:test";
import {
  invertHomography,
  localScalePxPerMm,
  type Matrix3,
  normal,
  rectangular,
  seededRandom,
} from "@samescale/geometry";
import { sceneTruth, standardCamera, standardScene } from "@samescale/simulator";
import type { ScaleFound } from "../../src/answers.ts";
import { measureRegions } from "../../src/planimetry/measure-regions.ts";

/**
 * The law of propagation against propagation of distributions: whatever the budget takes as uncertain is drawn anew many times,
 * everything is measured again from the start, and the spread of the areas is set beside what the budget adds up to.
 * @source JCGM101 §8.1.1 (validation of the GUM framework by a Monte Carlo method)
 */
const DRAWS = 1200;
/** The spread of so many draws is known to about 1.8 %; distributions with flat ends lack the tails of a normal one. */
const AGREE = 0.07;

const EDGE_U_PX = 2;
const FIT_U = 0.004;
const TOLERANCE_U = 0.003;

function scene(leanXDeg: number) {
  const camera = standardCamera({
    widthPx: 3000,
    heightPx: 2000,
    magnification: 1 / 4,
    focalMm: 60,
    leanXDeg,
  });
  const truth = sceneTruth(
    standardScene({
      things: [
        {
          kind: "wound",
          placement: { xMm: 14, yMm: -9, rotateDeg: 25 },
          seed: 5,
          lengthMm: 34,
          widthMm: 22,
        },
      ],
    }),
    camera,
  );
  const region = truth.things[0]!.regions[0]!;
  const homographyPxToMm = invertHomography(truth.surface.homographyMmToPx);
  return { truth, outline: region.outlinePx.map(([x, y]) => ({ x, y })), homographyPxToMm };
}

function readingOf(h: Matrix3, by: number, withPlane: boolean, leanDeg: number): ScaleFound {
  const at = { x: 900, y: 1500 };
  const value = localScalePxPerMm(h, at as never).mean * by;
  return {
    file: "made up",
    widthPx: 3000,
    heightPx: 2000,
    found: true,
    scales: [
      {
        kind: "L",
        unit: "mm",
        pxPerMm: { value, u95: 2 * Math.hypot(FIT_U, TOLERANCE_U) * value },
        at,
        axisDeg: 0,
        ticks: [],
        coverageMm: 60,
        residualPx: 0.05,
      },
    ],
    plane: withPlane ? { homographyPxToMm: grown(h, 1 / by), tiltDeg: { value: leanDeg, u95: 0 } } : null,
    reproductionRatio: null,
    imageDistancePx: 60 * 1.25 * (3000 / 36),
    warnings: [],
    recipe: { step: "scale", version: 2, parameters: { scaleToleranceU: TOLERANCE_U } },
  };
}

const grown = ([a, b, c]: Matrix3, by: number): Matrix3 => [
  [a[0] * by, a[1] * by, a[2] * by],
  [b[0] * by, b[1] * by, b[2] * by],
  c,
];

/** Every point moved outwards by so much, along the edge's own normal. */
function moved(outline: readonly { x: number; y: number }[], byPx: number) {
  const n = outline.length;
  const doubled = outline.reduce((sum, p, i) => {
    const q = outline[(i + 1) % n]!;
    return sum + p.x * q.y - q.x * p.y;
  }, 0);
  const reach = Math.round(n / 60);
  return outline.map((p, i) => {
    const [a, b] = [outline[(i + n - reach) % n]!, outline[(i + reach) % n]!];
    const length = Math.hypot(b.x - a.x, b.y - a.y);
    const by = (Math.sign(doubled) * byPx) / length;
    return { x: p.x + by * (b.y - a.y), y: p.y - by * (b.x - a.x) };
  });
}

for (const leanXDeg of [0, 18]) {
  test(`by the plane at a lean of ${leanXDeg}°: the budget's sum is the spread of what is measured`, () => {
    const { truth, outline, homographyPxToMm } = scene(leanXDeg);
    const measure = (byEdgePx: number, byScale: number, besides: number) => {
      const reading = readingOf(homographyPxToMm, byScale, true, truth.surface.leanDeg);
      const found = measureRegions(
        [{ outline: moved(outline, byEdgePx), holes: [], edgeUPx: EDGE_U_PX }],
        reading,
      );
      assert.ok(!("reason" in found));
      return { area: found.regions[0]!.areaMm2.value * besides ** 2, found };
    };
    const nominal = measure(0, 1, 1).found;
    const { value, u95 } = nominal.regions[0]!.areaMm2;
    // What no reading can be moved by: the scale's height and the lens's distortion, as the budget takes them.
    const share = (name: string) => nominal.budget.find(({ source }) => source.startsWith(name))?.u ?? 0;
    const others = ["scale above or below", "distortion"].map((name) => (share(name) / 2) * Math.sqrt(3));
    const random = seededRandom(31);
    const [edge, fit, tolerance] = [normal(0, EDGE_U_PX), normal(0, FIT_U), normal(0, TOLERANCE_U)];
    const areas = Array.from({ length: DRAWS }, () => {
      const besides = others.reduce((by, half) => by + rectangular(0, half)(random), 1);
      return measure(edge(random), 1 + fit(random) + tolerance(random), besides).area;
    });
    const mean = areas.reduce((sum, a) => sum + a, 0) / DRAWS;
    const sd = Math.sqrt(areas.reduce((sum, a) => sum + (a - mean) ** 2, 0) / (DRAWS - 1));
    assert.ok(Math.abs(mean / value - 1) < 0.005, `mean ${mean}, measured ${value}`);
    assert.ok(Math.abs(u95 / 2 / sd - 1) < AGREE, `budget ${u95 / 2}, drawn ${sd}`);
  });
}

/** Where the point (x, y) mm of a plane that leans towards a direction is seen, 300 mm away: a pinhole's own formula. */
function seen(x: number, y: number, leanRad: number, towards: number) {
  const [focalPx, distanceMm] = [6250, 300];
  const across = x * Math.cos(towards) + y * Math.sin(towards);
  const aside = y * Math.cos(towards) - x * Math.sin(towards);
  const perMm = focalPx / (distanceMm + across * Math.sin(leanRad));
  const [u, v] = [across * Math.cos(leanRad), aside];
  return {
    x: 1500 + perMm * (u * Math.cos(towards) - v * Math.sin(towards)),
    y: 1000 + perMm * (u * Math.sin(towards) + v * Math.cos(towards)),
  };
}

test("by the local scale: leans drawn in every direction spread the area as the budget says", () => {
  const random = seededRandom(5);
  const errors: number[] = [];
  const shares: number[] = [];
  for (let i = 0; i < 600; i++) {
    const [lean, towards, turn] = [
      (20 * random() * Math.PI) / 180,
      2 * Math.PI * random(),
      Math.PI * random(),
    ];
    const outline = Array.from({ length: 90 }, (_, k) => {
      const t = (2 * Math.PI * k) / 90;
      const [a, b] = [17 * Math.cos(t), 11 * Math.sin(t)];
      const [c, d] = [Math.cos(turn), Math.sin(turn)];
      return seen(5 + c * a - d * b, -4 + d * a + c * b, lean, towards);
    });
    // A scale along the surface's x, below the wound.
    const [p, q] = [seen(-0.5, 20, lean, towards), seen(0.5, 20, lean, towards)];
    const value = Math.hypot(q.x - p.x, q.y - p.y);
    const axisDeg = (Math.atan2(q.y - p.y, q.x - p.x) * 180) / Math.PI;
    const { scales, ...rest } = readingOf(IDENTITY, 1, false, 0);
    const scale = { ...scales[0]!, at: { x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 }, axisDeg };
    const reading = { ...rest, scales: [{ ...scale, pxPerMm: { value, u95: 1e-6 * value } }] };
    const found = measureRegions([{ outline, holes: [], edgeUPx: 0 }], reading);
    assert.ok(!("reason" in found));
    // The area of a polygon of 90 corners in an ellipse: n / 2 sin(2 pi / n) of its axes.
    errors.push(Math.log(found.regions[0]!.areaMm2.value / (17 * 11 * 45 * Math.sin((2 * Math.PI) / 90))));
    shares.push(found.budget.find(({ source }) => source.startsWith("lean"))!.u);
  }
  const rms = Math.sqrt(errors.reduce((sum, e) => sum + e * e, 0) / errors.length);
  const stated = Math.sqrt(shares.reduce((sum, s) => sum + s * s, 0) / shares.length);
  // 600 draws of so long-tailed a quantity tell its root mean square to about 4 %.
  assert.ok(Math.abs(stated / rms - 1) < 0.12, `stated ${stated}, drawn ${rms}`);
});

const IDENTITY: Matrix3 = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];
