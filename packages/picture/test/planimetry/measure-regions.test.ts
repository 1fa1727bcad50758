import assert from "node:assert/strict";
import { test } from "node:test";
import { invertHomography, localScalePxPerMm, seededRandom } from "@samescale/geometry";
import { sceneTruth, standardCamera, standardScene, type Thing, type Truth } from "@samescale/simulator";
import type { ScaleFound, XY } from "../../src/answers.ts";
import { type Measurements, measureRegions, type PartSaid } from "../../src/planimetry/measure-regions.ts";

/**
 * Sizes against the virtual camera's truth: a wound whose outline in the picture and whose size on the surface are both
 * known exactly, with the scale's reading made from the same truth.
 */
type Wound = Extract<Thing, { kind: "wound" }>;

const WOUND: Wound = {
  kind: "wound",
  placement: { xMm: 12, yMm: -8, rotateDeg: 25 },
  seed: 5,
  lengthMm: 42,
  widthMm: 28,
};

interface Shot {
  readonly leanXDeg?: number;
  readonly leanYDeg?: number;
  readonly radiusMm?: number;
  readonly wound?: Partial<Wound>;
}

function shoot({ leanXDeg = 0, leanYDeg = 0, radiusMm, wound = {} }: Shot): Truth {
  const surface = radiusMm
    ? ({ shape: "cylinder", radiusMm, axisDeg: 90 } as const)
    : ({ shape: "plane" } as const);
  const camera = standardCamera({
    widthPx: 3000,
    heightPx: 2000,
    magnification: 1 / 4,
    focalMm: 60,
    leanXDeg,
    leanYDeg,
  });
  return sceneTruth(standardScene({ surface, things: [{ ...WOUND, ...wound }] }), camera);
}

/** A reading without any error of its own, at the middle of the picture. */
function readingOf(truth: Truth, withPlane: boolean): ScaleFound {
  const homographyPxToMm = invertHomography(truth.surface.homographyMmToPx);
  const at = { x: truth.widthPx / 2, y: truth.heightPx / 2 };
  const value = localScalePxPerMm(homographyPxToMm, at as never).mean;
  return {
    file: "made up",
    widthPx: truth.widthPx,
    heightPx: truth.heightPx,
    found: true,
    scales: [
      {
        kind: "L",
        unit: "mm",
        pxPerMm: { value, u95: 0.002 * value },
        at,
        axisDeg: 0,
        ticks: [],
        coverageMm: 60,
        residualPx: 0.05,
      },
    ],
    plane: withPlane ? { homographyPxToMm, tiltDeg: { value: truth.surface.leanDeg, u95: 0.5 } } : null,
    reproductionRatio: null,
    warnings: [],
    recipe: { step: "scale", version: 1, parameters: { scaleToleranceU: 0.001 } },
  };
}

function measured(truth: Truth, withPlane: boolean, said: PartSaid = {}, edgeUPx = 1): Measurements {
  const { outlinePx } = truth.things[0]!.regions[0]!;
  const outline = outlinePx.map(([x, y]) => ({ x, y }));
  const found = measureRegions([{ outline, holes: [], edgeUPx }], readingOf(truth, withPlane), said);
  assert.ok(!("reason" in found), "reason" in found ? found.reason : "");
  return found;
}

const off = (value: number, truth: number) => Math.abs(value / truth - 1);

test("by the plane every figure is right at any lean, also far from the scale", () => {
  for (const [leanXDeg, leanYDeg] of [
    [0, 0],
    [12, 0],
    [-15, 14],
    [0, 30],
  ] as const) {
    const truth = shoot({ leanXDeg, leanYDeg });
    const wound = truth.things[0]!.regions[0]!;
    const [region] = measured(truth, true).regions;
    assert.ok(off(region!.areaMm2.value, wound.areaMm2) < 1e-4, `area at ${leanXDeg}, ${leanYDeg}`);
    assert.ok(off(region!.lengthMm.value, wound.lengthMm) < 1e-3);
    assert.ok(off(region!.widthMm.value, wound.widthMm) < 3e-3);
    // Smoothing takes the roughness out of the edge.
    assert.ok(region!.perimeterMm.value < wound.perimeterMm);
    assert.ok(region!.perimeterMm.value > 0.93 * wound.perimeterMm);
  }
});

test("by the local scale the interval holds the truth at leans up to 20 degrees in every direction", () => {
  for (let i = 0; i < 12; i++) {
    const [lean, towards] = [20 * Math.sqrt((i + 0.5) / 12), (2 * Math.PI * i * 5) / 12];
    const truth = shoot({ leanXDeg: lean * Math.sin(towards), leanYDeg: lean * Math.cos(towards) });
    const [region] = measured(truth, false).regions;
    const { value, u95 } = region!.areaMm2;
    const { areaMm2 } = truth.things[0]!.regions[0]!;
    assert.ok(Math.abs(value - areaMm2) <= u95, `${lean.toFixed(1)}°: ${value} ± ${u95}, truth ${areaMm2}`);
  }
});

/** Along the cylinder's crest, as a person would mark it, from the truth's own picture points. */
function limbOf(truth: Truth, radiusMm: number): PartSaid {
  const h = truth.surface.homographyMmToPx;
  const px = (x: number, y: number): XY => {
    const w = h[2][0] * x + h[2][1] * y + h[2][2];
    return [(h[0][0] * x + h[0][1] * y + h[0][2]) / w, (h[1][0] * x + h[1][1] * y + h[1][2]) / w];
  };
  return { limb: { middle: [px(0, -30), px(0, 30)], girthMm: 2 * Math.PI * radiusMm } };
}

test("on a limb of known girth the area is that on the skin; measured flat it is too small", () => {
  for (const radiusMm of [40, 55, 90]) {
    const truth = shoot({ radiusMm });
    const { areaMm2 } = truth.things[0]!.regions[0]!;
    const flat = measured(truth, true).regions[0]!.areaMm2;
    const round = measured(truth, true, limbOf(truth, radiusMm)).regions[0]!.areaMm2;
    assert.ok(flat.value < areaMm2, `flat on ${radiusMm} mm: ${flat.value} of ${areaMm2}`);
    assert.ok(off(round.value, areaMm2) < 0.005, `round on ${radiusMm} mm: ${round.value} of ${areaMm2}`);
    assert.ok(off(round.value, areaMm2) < 0.2 * off(flat.value, areaMm2));
  }
});

test("a curved part measured flat: the widened interval holds the truth, the plain one does not", () => {
  const truth = shoot({ radiusMm: 40 });
  const { areaMm2 } = truth.things[0]!.regions[0]!;
  const found = measured(truth, true, { isCurved: true }, 0.2);
  const holds = ({ areaMm2: { value, u95 } }: Measurements["regions"][number]) =>
    Math.abs(value - areaMm2) <= u95;
  assert.ok(holds(found.regions[0]!), JSON.stringify(found.regions[0]!.areaMm2));
  assert.ok(!holds(measured(truth, true, {}, 0.2).regions[0]!));
  assert.ok(found.budget.some(({ source }) => source.includes("curved")));
  assert.ok(found.warnings.some((w) => w.includes("curved")));
});

test("a plane whose horizon crosses a region that is said to be curved: answered, with an interval as wide as the area", () => {
  const truth = shoot({});
  const reading = readingOf(truth, true);
  const { plane } = reading;
  const [x, y] = plane!.homographyPxToMm;
  // The vanishing line runs through the middle of the outline.
  const outline = truth.things[0]!.regions[0]!.outlinePx.map(([px, py]) => ({ x: px, y: py }));
  const middle = outline.reduce((sum, p) => sum + p.x / outline.length, 0);
  const hostile = { ...reading, plane: { ...plane!, homographyPxToMm: [x, y, [1, 0, -middle]] as const } };
  const found = measureRegions([{ outline, holes: [] }], hostile, { isCurved: true });
  assert.ok(!("reason" in found));
  const { value, u95 } = found.regions[0]!.areaMm2;
  assert.ok(u95 > value, `${value} ± ${u95}`);
});

test("the limb's edges give nearly the radius that made them", () => {
  const radiusMm = 60;
  const truth = shoot({ radiusMm });
  const { areaMm2 } = truth.things[0]!.regions[0]!;
  // Where the sight line grazes the cylinder, seen in the plane that touches its crest.
  const distanceMm = truth.camera.objectDistanceMm;
  const grazing = (distanceMm * radiusMm) / Math.sqrt(distanceMm ** 2 + 2 * distanceMm * radiusMm);
  const h = truth.surface.homographyMmToPx;
  const px = (x: number, y: number): XY => [h[0][0] * x + h[0][2] / h[2][2], h[1][1] * y + h[1][2] / h[2][2]];
  const limb = {
    edges: [
      [px(-grazing, -40), px(-grazing, 40)],
      [px(grazing, 40), px(grazing, -40)],
    ],
  } as const;
  const { value } = measured(truth, true, { limb }).regions[0]!.areaMm2;
  assert.ok(off(value, areaMm2) < 0.01, `${value} of ${areaMm2}`);
});

test("an L that lies beside the limb's front, and so leans with the skin, gives the limb's own size", () => {
  const radiusMm = 60;
  // The plane that touches the limb 25 mm round it from the line nearest to the camera.
  const camera = standardCamera({ widthPx: 3000, heightPx: 2000, magnification: 1 / 4, focalMm: 60 });
  const scene = standardScene({
    surface: { shape: "cylinder", radiusMm, axisDeg: 90 },
    things: [
      WOUND,
      { kind: "l-scale", placement: { xMm: -25, yMm: 0, rotateDeg: 0 }, legMm: 40, legWidthMm: 20 },
    ],
  });
  const truth = sceneTruth(scene, camera);
  const reading = readingOf(truth, true);
  const homographyPxToMm = invertHomography(truth.things[1]!.homographyMmToPx!);
  const [x, y] = truth.things[1]!.points.reduce(
    ([a, b], { px }, _, all) => [a + px[0] / all.length, b + px[1] / all.length],
    [0, 0],
  );
  const value = localScalePxPerMm(homographyPxToMm, { x, y } as never).mean;
  const beside: ScaleFound = {
    ...reading,
    scales: [{ ...reading.scales[0]!, at: { x, y }, pxPerMm: { value, u95: 0.002 * value } }],
    plane: { homographyPxToMm, tiltDeg: { value: truth.things[1]!.leanDeg!, u95: 0.5 } },
    imageDistancePx: truth.camera.focalPx,
  };
  const region = truth.things[0]!.regions[0]!;
  const outline = region.outlinePx.map(([px, py]) => ({ x: px, y: py }));
  const found = measureRegions([{ outline, holes: [] }], beside, limbOf(truth, radiusMm));
  assert.ok(!("reason" in found));
  const { value: area } = found.regions[0]!.areaMm2;
  assert.ok(off(area, region.areaMm2) < 0.005, `${area} of ${region.areaMm2}`);
  assert.ok(!found.warnings.some((w) => w.includes("does not lie on the limb")));
});

test("what repeats say of the edge enters the budget in place of the assumption, unless the picture says worse", () => {
  const truth = shoot({});
  const outline = truth.things[0]!.regions[0]!.outlinePx.map(([x, y]) => ({ x, y }));
  const edge = (edgeUPx?: number, edgeUMm?: number) => {
    const own =
      edgeUMm === undefined
        ? undefined
        : { edgeUMm, degreesOfFreedom: 8, outlines: 16, persons: 2, things: 8 };
    const drawn = [{ outline, holes: [], ...(edgeUPx !== undefined && { edgeUPx }) }];
    const found = measureRegions(drawn, readingOf(truth, true), {}, own);
    assert.ok(!("reason" in found));
    return {
      ...found.regions[0]!.edge,
      source: found.budget.map((b) => b.source).find((s) => s.startsWith("edge")),
    };
  };
  assert.equal(edge().from, "assumed");
  assert.equal(edge(3).from, "picture");
  const repeats = edge(undefined, 0.2);
  assert.equal(repeats.from, "repeats");
  assert.match(repeats.source!, /16 outlines by 2 persons/);
  // 8 degrees of freedom: Student's t 2.306 (JCGM 100, table G.2) against 1.960.
  assert.ok(off(repeats.uMm, (0.2 * 2.306) / 1.96) < 1e-3);
  assert.equal(edge(50, 0.2).from, "picture");
  assert.equal(edge(0.1, 0.2).from, "repeats");
});

test("an outline that reaches past the limb, and a limb that is none, are refused in words", () => {
  const truth = shoot({});
  const outline = truth.things[0]!.regions[0]!.outlinePx.map(([x, y]) => ({ x, y }));
  const refused = (limb: PartSaid["limb"]) => {
    const found = measureRegions([{ outline, holes: [] }], readingOf(truth, true), { limb: limb! });
    return "reason" in found ? found.reason : "";
  };
  const line = [
    [1500, 0],
    [1500, 2000],
  ] as const;
  assert.match(refused({ middle: line, girthMm: 60 }), /past the limb's visible edge/);
  assert.match(refused({ middle: [line[0], line[0]], girthMm: 300 }), /same/);
  assert.match(refused({ middle: line }), /girth/);
  for (const girthMm of [-1, 0, 1e9, Number.NaN])
    assert.match(refused({ middle: line, girthMm }), /no limb's: expected 20 to 2500 mm/);
  const headToToe = [line[0], line[0]] as const;
  assert.match(
    JSON.stringify(measureRegions([{ outline, holes: [] }], readingOf(truth, true), { headToToe })),
    /same/,
  );
});

test("a disc and an ellipse: circularity, axes and head-to-toe extents are the analytic ones", () => {
  const truth = shoot({});
  const { value: pxPerMm } = readingOf(truth, true).scales[0]!.pxPerMm;
  const ring = (a: number, b: number, turn: number) =>
    Array.from({ length: 400 }, (_, i) => {
      const t = (2 * Math.PI * i) / 400;
      const [x, y] = [a * Math.cos(t), b * Math.sin(t)];
      const [c, s] = [Math.cos(turn), Math.sin(turn)];
      return { x: 1500 + pxPerMm * (c * x - s * y), y: 1000 + pxPerMm * (s * x + c * y) };
    });
  const figures = (outline: ReturnType<typeof ring>) => {
    const said: PartSaid = {
      headToToe: [
        [1000, 200],
        [1000, 900],
      ],
    };
    const found = measureRegions([{ outline, holes: [] }], readingOf(truth, true), said);
    assert.ok(!("reason" in found));
    return found.regions[0]!;
  };
  const disc = figures(ring(20, 20, 0));
  assert.ok(off(disc.circularity, 1) < 2e-3);
  assert.ok(off(disc.areaMm2.value, 400 * Math.PI) < 1e-3);
  const turn = 0.5;
  const ellipse = figures(ring(30, 12, turn));
  assert.ok(off(ellipse.ellipse!.majorMm, 60) < 1e-3);
  assert.ok(off(ellipse.ellipse!.minorMm, 24) < 1e-3);
  assert.ok(off(ellipse.lengthMm.value, 60) < 1e-3);
  // Half extent of an ellipse in the direction d: sqrt(a² (d·u)² + b² (d·v)²).
  const half = (du: number, dv: number) => Math.hypot(30 * du, 12 * dv);
  assert.ok(off(ellipse.headToToe!.lengthMm.value, 2 * half(Math.sin(turn), Math.cos(turn))) < 1e-3);
  assert.ok(off(ellipse.headToToe!.widthMm.value, 2 * half(Math.cos(turn), Math.sin(turn))) < 1e-3);
});

test("several regions together: what they share adds up, it does not average away", () => {
  const truth = shoot({});
  const square = (x: number) => [
    { x, y: 900 },
    { x: x + 200, y: 900 },
    { x: x + 200, y: 1100 },
    { x, y: 1100 },
  ];
  const regions = [square(1000), square(1800)].map((outline) => ({ outline, holes: [] }));
  const found = measureRegions(regions, readingOf(truth, true));
  assert.ok(!("reason" in found));
  const [a, b] = found.regions.map((r) => r.areaMm2);
  const { value, u95 } = found.total!.areaMm2;
  assert.ok(off(value, a!.value + b!.value) < 1e-12);
  assert.ok(u95 > 0.95 * (a!.u95 + b!.u95) && u95 <= a!.u95 + b!.u95);
});

test("edges drawn wrong by what is stated: 95 % of 400 intervals hold the truth", () => {
  const random = seededRandom(17);
  const truth = shoot({ leanXDeg: 8 });
  const { outlinePx, areaMm2 } = truth.things[0]!.regions[0]!;
  const [cx, cy] = [0, 1].map((i) => outlinePx.reduce((s, p) => s + p[i]!, 0) / outlinePx.length) as [
    number,
    number,
  ];
  const edgeUPx = 3;
  const gauss = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  let held = 0;
  for (let i = 0; i < 400; i++) {
    const by = edgeUPx * gauss();
    const outline = outlinePx.map(([x, y]) => {
      const r = Math.hypot(x - cx, y - cy);
      return { x: x + (by * (x - cx)) / r, y: y + (by * (y - cy)) / r };
    });
    const reading = readingOf(truth, true);
    const found = measureRegions([{ outline, holes: [], edgeUPx }], reading);
    assert.ok(!("reason" in found));
    const { value, u95 } = found.regions[0]!.areaMm2;
    if (Math.abs(value - areaMm2) <= u95) held++;
  }
  // Moving points away from the middle moves a slanted edge by a little less than its normal.
  assert.ok(held >= 372 && held <= 400, `${held} of 400`);
});
