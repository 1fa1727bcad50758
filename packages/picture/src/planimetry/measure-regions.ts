import { centroidOf, type Point, propagate, type Region, type UncertainInput } from "@samescale/geometry";
import type { RegionMeasurement, ScaleFound, XY } from "../answers.ts";
import { LARGEST_LEAN_DEG, leanEffect } from "./lean-effect.ts";
import { type ScaleInForce, scaleInForce } from "./scale-in-force.ts";
import { type Figure, POWERS, type Shape, shapeOf } from "./shape.ts";

/** A region to be measured, in upright pixels. */
export interface DrawnRegion extends Region {
  /** How well the edge is placed, one standard uncertainty; left out: 1 px. */
  readonly edgeUPx?: number;
}

export interface Measurements {
  readonly regions: readonly RegionMeasurement[];
  readonly method: "plane" | "local-scale";
  readonly budget: readonly { readonly source: string; readonly u: number }[];
  readonly warnings: readonly string[];
}

/** Coverage factor of every interval here. */
const K = 2;
const DEFAULT_EDGE_U_PX = 1;
/** Sampling of the edge by pixels, each independent of the others: half a pixel either way, every value alike. */
const SAMPLING_U_PX = 0.5 / Math.sqrt(3);
/** The scale lies on skin, the subject a little above or below: within this, every value alike. */
export const HEIGHT_LIMIT_MM = 2;
/** Distortion that a close-up lens leaves in the corner of the frame: within this, every value alike. */
export const DISTORTION_LIMIT = 0.003;
/** The outline is smoothed by a bell of this standard deviation before its perimeter is taken. */
export const SMOOTHING_MM = 0.5;
/** A bell narrower than this many pixels would leave the pixels' own steps in the perimeter. */
const LEAST_SMOOTHING_PX = 1.5;
/** Beyond this the picture leans so much that focus and foreshortening vary across the subject. */
const MUCH_LEAN_DEG = 20;
const DISAGREEMENT_WORTH_SAYING = 0.01;

/**
 * Area, length, width and perimeter of each region with 95 % intervals (k = 2): in the plane of the scale where the
 * picture determines it, else by the scale's own px/mm, widened by what an unknown lean can do. The surface is
 * taken as flat. `budget` is that of the largest region's area.
 * @source JCGM100 §5.1.2
 */
export function measureRegions(regions: readonly DrawnRegion[], reading: ScaleFound): Measurements {
  const measured = regions.map((region) => measureRegion(region, reading));
  const largest = measured.reduce((a, b) => (b.shape.area > a.shape.area ? b : a));
  return {
    regions: measured.map((m) => m.answer),
    method: largest.force.method,
    budget: largest.budget,
    warnings: warningsOf(largest.force, reading, regions),
  };
}

interface Measured {
  readonly answer: RegionMeasurement;
  readonly shape: Shape;
  readonly force: ScaleInForce;
  readonly budget: Measurements["budget"];
}

function measureRegion(region: DrawnRegion, reading: ScaleFound): Measured {
  const at = centroidOf(region);
  const force = scaleInForce(reading, at);
  const back = new Map<Point, Point>();
  const placed = (ring: readonly Point[]) =>
    ring.map((p) => {
      const q = force.toMm(p);
      back.set(q, p);
      return q;
    });
  const inMm = { outline: placed(region.outline), holes: region.holes.map(placed) };
  const smoothing = Math.max(SMOOTHING_MM, LEAST_SMOOTHING_PX / force.pxPerMm);
  const shape = shapeOf(inMm, smoothing);
  const sources = sourcesOf(region, reading, force, shape, at);
  const result = (f: Figure) => {
    const { value, u, budget } = propagate({
      f: (errors) => sources.reduce((sum, s, i) => sum + s.effect[f] * errors[i]!, shape[f]),
      inputs: sources.map((s): UncertainInput => ({ name: s.name, value: 0, u: 1 })),
    });
    return { measured: { value, u95: K * u }, budget };
  };
  const area = result("area");
  const px = (ends: readonly [Point, Point]): readonly [XY, XY] => {
    const [p, q] = ends.map((end) => back.get(end)!) as [Point, Point];
    return [
      [p.x, p.y],
      [q.x, q.y],
    ];
  };
  return {
    answer: {
      areaMm2: area.measured,
      lengthMm: result("length").measured,
      widthMm: result("width").measured,
      perimeterMm: result("perimeter").measured,
      perimeterSmoothingMm: shape.smoothing,
      lengthEndsPx: px(shape.lengthEnds),
      widthEndsPx: px(shape.widthEnds),
    },
    shape,
    force,
    budget: area.budget.map(({ source, u }) => ({ source, u: u / shape.area })).filter(({ u }) => u > 0),
  };
}

/** What one standard uncertainty of a source changes each figure by, in the figure's own unit. */
interface Source {
  readonly name: string;
  readonly effect: Record<Figure, number>;
}

function sourcesOf(
  region: DrawnRegion,
  reading: ScaleFound,
  force: ScaleInForce,
  shape: Shape,
  at: Point,
): Source[] {
  const lengthwise = (name: string, u: number): Source => ({
    name,
    effect: {
      area: POWERS.area * u * shape.area,
      length: u * shape.length,
      width: u * shape.width,
      perimeter: u * shape.perimeter,
    },
  });
  const lean = leanEffect(force, region);
  const distanceMm = force.view.focalPx / force.pxPerMm;
  const edgeMm = (region.edgeUPx ?? DEFAULT_EDGE_U_PX) / force.pxPerMm;
  const samplingMm = SAMPLING_U_PX / force.pxPerMm;
  return [
    {
      // The whole edge a little too far out or in, as a person or a rule draws it.
      name: "edge position",
      effect: {
        area: edgeMm * shape.perimeter,
        length: 2 * edgeMm,
        width: 2 * edgeMm,
        perimeter: 2 * Math.PI * edgeMm,
      },
    },
    {
      name: "resolution",
      effect: {
        area: samplingMm * Math.sqrt(shape.perimeter / force.pxPerMm),
        length: Math.SQRT2 * samplingMm,
        width: Math.SQRT2 * samplingMm,
        perimeter: 2 * samplingMm,
      },
    },
    lengthwise("fit of the scale's graduations", force.fitU),
    lengthwise("the scale's own tolerance", force.toleranceU),
    lengthwise("scales that differ", force.disagreementU),
    {
      name:
        force.method === "plane"
          ? "lean of the camera"
          : `lean of the camera, not known (within ${LARGEST_LEAN_DEG}° assumed)`,
      effect: {
        area: lean.area * shape.area,
        length: lean.length * shape.length,
        width: lean.width * shape.width,
        perimeter: lean.perimeter * shape.perimeter,
      },
    },
    lengthwise(
      `scale above or below the surface (within ${HEIGHT_LIMIT_MM} mm assumed)`,
      HEIGHT_LIMIT_MM / Math.sqrt(3) / distanceMm,
    ),
    lengthwise("distortion of the lens (assumed)", distortionU(reading, force, at)),
  ];
}

/** Local magnification goes with 1 + 3 k r²: what the scale and the region, at their distances from the middle, differ by. */
function distortionU({ widthPx, heightPx }: ScaleFound, { scales }: ScaleInForce, at: Point): number {
  const corner2 = (widthPx ** 2 + heightPx ** 2) / 4;
  const r2 = (p: Point) => ((p.x - widthPx / 2) ** 2 + (p.y - heightPx / 2) ** 2) / corner2;
  const atScales = scales.reduce((sum, { scale, weight }) => sum + weight * r2(scale.at), 0);
  return (3 * DISTORTION_LIMIT * Math.abs(r2(at) - atScales)) / Math.sqrt(3);
}

function warningsOf(force: ScaleInForce, reading: ScaleFound, regions: readonly DrawnRegion[]): string[] {
  const warnings: string[] = [];
  if (force.method === "local-scale") {
    warnings.push(
      `The picture does not show how far the camera leaned: sizes are by the scale's own px/mm, and the intervals allow for a lean of up to ${LARGEST_LEAN_DEG}°.`,
    );
  } else if (reading.plane!.tiltDeg.value > MUCH_LEAN_DEG) {
    warnings.push(
      `The camera leaned by ${reading.plane!.tiltDeg.value.toFixed(0)}°: corrected, but take such a picture square on.`,
    );
  }
  if (force.disagreement > DISAGREEMENT_WORTH_SAYING) {
    warnings.push(
      `The scales in the picture differ by ${(100 * force.disagreement).toFixed(1)} %: they lie at different heights, or not flat.`,
    );
  }
  const { widthPx, heightPx } = reading;
  const touches = regions.some((region) =>
    region.outline.some(({ x, y }) => x <= 1 || y <= 1 || x >= widthPx - 1 || y >= heightPx - 1),
  );
  if (touches)
    warnings.push("An outline reaches the border of the picture: what lies beyond is not measured.");
  return warnings;
}
