import {
  cross,
  dot,
  normal,
  type Point,
  perimeterOf,
  plus,
  seededRandom,
  smooth,
  times,
  type Vector3,
} from "../../packages/geometry/src/index.ts";
import type { ScaleFound, XY } from "../../packages/picture/src/answers.ts";
import { measureRegions, type PartSaid } from "../../packages/picture/src/planimetry/measure-regions.ts";
import { type Case, type Reading, SENSOR_MM } from "./cases.ts";

/** One figure of a case: how far off, and whether its interval holds the truth. */
export interface Figure {
  readonly errorPct: number;
  readonly u95Pct: number;
  readonly holds: boolean;
}

export interface Row extends Omit<Case, "reading" | "outlinePx" | "outlineMm" | "homographyMmToPx"> {
  readonly method: "plane" | "local-scale" | null;
  readonly warned: boolean;
  /** With the true outline: what scale, plane and surface alone do. */
  readonly exactPct: number;
  /** With the outline drawn too wide or too narrow by what is stated of it. */
  readonly area: Figure;
  readonly length: Figure;
  readonly width: Figure;
  readonly perimeter: Figure;
}

const NONE: Figure = { errorPct: Number.NaN, u95Pct: Number.NaN, holds: false };

/** Measures a case by what was read in its picture, and compares it with the truth. */
export function measured(of: Case): Row {
  const { reading, outlinePx, outlineMm, homographyMmToPx: _, ...facts } = of;
  const none = { ...facts, method: null, warned: false, exactPct: Number.NaN };
  const nothing = { ...none, area: NONE, length: NONE, width: NONE, perimeter: NONE };
  if (!reading) return nothing;
  const random = seededRandom(of.seed + 1_000_003);
  const edgeUPx = 1 + 2 * random();
  const answer: ScaleFound = {
    file: "",
    widthPx: of.widthPx,
    heightPx: of.heightPx,
    found: true,
    scales: reading.scales,
    plane: reading.plane,
    reproductionRatio: null,
    imageDistancePx: imageDistancePx(of, reading),
    warnings: reading.warnings,
    recipe: { step: "scale", version: 2, parameters: { scaleToleranceU: reading.lengthU } },
  };
  const said = saidOf(of);
  const measure = (byPx: number) =>
    measureRegions([{ outline: drawnOff(outlinePx, byPx), holes: [], edgeUPx }], answer, said);
  const [exact, drawn] = [measure(0), measure(normal(0, edgeUPx)(random))];
  if ("reason" in exact || "reason" in drawn) return nothing;
  const region = drawn.regions[0]!;
  const truePerimeter = perimeterOf(smooth(points(outlineMm), region.perimeterSmoothingMm).ring);
  const against = ({ value, u95 }: { value: number; u95: number }, truth: number): Figure => ({
    errorPct: 100 * (value / truth - 1),
    u95Pct: (100 * u95) / value,
    holds: Math.abs(value - truth) <= u95,
  });
  return {
    ...facts,
    method: drawn.method,
    warned: drawn.warnings.length + reading.warnings.length > 0,
    exactPct: 100 * (exact.regions[0]!.areaMm2.value / of.areaMm2 - 1),
    area: against(region.areaMm2, of.areaMm2),
    length: against(region.lengthMm, of.lengthMm),
    width: against(region.widthMm, of.widthMm),
    perimeter: against(region.perimeterMm, truePerimeter),
  };
}

/** As the command works it out from the file's focal length and the ratio that was read. */
function imageDistancePx({ focalMm, widthPx }: Case, { facingPxPerMm }: Reading): number {
  const pixelMm = SENSOR_MM / widthPx;
  return (focalMm * (1 + facingPxPerMm.value * pixelMm)) / pixelMm;
}

const points = (ring: readonly XY[]): Point[] => ring.map(([x, y]) => ({ x, y }));

/** What a person would say of the part, from the truth's own places in the picture. */
function saidOf(of: Case): PartSaid {
  switch (of.surface) {
    case "flat":
      return {};
    case "limb, said to be curved":
      return { isCurved: true };
    case "limb, girth told": {
      const { line, towards } = limbSeen(of);
      return { limb: { middle: line(towards), girthMm: 2 * Math.PI * of.radiusMm } };
    }
    case "limb, edges marked": {
      const { line, towards, round } = limbSeen(of);
      return { limb: { edges: [line(towards - round), line(towards + round)] } };
    }
  }
}

/**
 * Lines along the cylinder as they are seen, by their angle round it from the crest: `towards` is the line nearest to the
 * camera, `round` how far from it sight lines graze. Its axis runs along y, R below the crest; cos of `round` is R / D.
 */
function limbSeen(of: Case) {
  const { homographyMmToPx: h, radiusMm, focalMm, ratio, widthPx, heightPx } = of;
  const f = (focalMm * (1 + 1 / ratio) * widthPx) / SENSOR_MM;
  const column = (j: 0 | 1 | 2): Vector3 => [
    (h[0][j] - (widthPx / 2) * h[2][j]) / f,
    (h[1][j] - (heightPx / 2) * h[2][j]) / f,
    h[2][j],
  ];
  // K⁻¹ H = [r1 r2 t] up to a factor.
  const size = Math.sqrt(dot(column(0), column(0)));
  const [r1, r2, t] = ([0, 1, 2] as const).map((j) => times(column(j), 1 / size)) as [
    Vector3,
    Vector3,
    Vector3,
  ];
  const r3 = cross(r1, r2);
  const [cameraX, cameraZ] = [-dot(r1, t), -dot(r3, t)];
  const px = (angle: number, y: number): XY => {
    const [x, z] = [radiusMm * Math.sin(angle), radiusMm * (1 - Math.cos(angle))];
    const [u, v, w] = plus(plus(times(r1, x), times(r2, y)), plus(times(r3, z), t));
    return [widthPx / 2 + (f * u) / w, heightPx / 2 + (f * v) / w];
  };
  return {
    line: (angle: number) => [px(angle, -30), px(angle, 30)] as const,
    towards: Math.atan2(cameraX, radiusMm - cameraZ),
    round: Math.acos(radiusMm / Math.hypot(cameraX, radiusMm - cameraZ)),
  };
}

/** Every point moved along the edge's normal, as a person draws a whole edge too wide or too narrow. */
function drawnOff(outline: readonly XY[], byPx: number): Point[] {
  const n = outline.length;
  const area = outline.reduce((sum, [x, y], i) => {
    const [nx, ny] = outline[(i + 1) % n]!;
    return sum + x * ny - nx * y;
  }, 0);
  const reach = Math.max(1, Math.round(n / 60));
  return outline.map(([x, y], i) => {
    const [ax, ay] = outline[(i + n - reach) % n]!;
    const [bx, by] = outline[(i + reach) % n]!;
    const length = Math.hypot(bx - ax, by - ay);
    const sense = Math.sign(area) * byPx;
    return { x: x + (sense * (by - ay)) / length, y: y - (sense * (bx - ax)) / length };
  });
}
