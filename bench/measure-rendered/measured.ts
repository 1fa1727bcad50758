import { normal, type Point, perimeterOf, seededRandom, smooth } from "../../packages/geometry/src/index.ts";
import type { ScaleFound, XY } from "../../packages/picture/src/answers.ts";
import { measureRegions, type PartSaid } from "../../packages/picture/src/planimetry/measure-regions.ts";
import type { Case } from "./cases.ts";

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

const points = (ring: readonly XY[]): Point[] => ring.map(([x, y]) => ({ x, y }));

/** What a person would say of the part, from the truth's own places in the picture. */
function saidOf({ surface, radiusMm, objectDistanceMm, homographyMmToPx: h }: Case): PartSaid {
  const px = (x: number, y: number): XY => {
    const w = h[2][0] * x + h[2][1] * y + h[2][2];
    return [(h[0][0] * x + h[0][1] * y + h[0][2]) / w, (h[1][0] * x + h[1][1] * y + h[1][2]) / w];
  };
  switch (surface) {
    case "flat":
      return {};
    case "limb, said to be curved":
      return { isCurved: true };
    case "limb, girth told":
      return { limb: { middle: [px(0, -30), px(0, 30)], girthMm: 2 * Math.PI * radiusMm } };
    case "limb, edges marked": {
      // Where the sight line grazes the cylinder, seen in the plane that touches its crest.
      const d = objectDistanceMm;
      const grazing = (d * radiusMm) / Math.sqrt(d ** 2 + 2 * d * radiusMm);
      return {
        limb: {
          edges: [
            [px(-grazing, -30), px(-grazing, 30)],
            [px(grazing, -30), px(grazing, 30)],
          ],
        },
      };
    }
  }
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
