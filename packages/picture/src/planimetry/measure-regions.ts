import { centroidOf, type Measured, type Point, propagate, type Region } from "@samescale/geometry";
import type { RegionMeasurement, ScaleFound, XY } from "../answers.ts";
import { AXIS_ON_LIMB } from "./curvature.ts";
import { type OwnRepeats, placedEdge } from "./edge.ts";
import { knownLimb, type LimbInPicture, onSkin } from "./limb.ts";
import type { MeasuredShape } from "./measured-shape.ts";
import { type ScaleInForce, scaleInForce } from "./scale-in-force.ts";
import { type Figure, shapeOf } from "./shape.ts";
import type { Source } from "./source.ts";
import { sourcesOf } from "./sources.ts";
import { warningsOf } from "./warnings.ts";

/** A region to be measured, in upright pixels. */
export interface DrawnRegion extends Region {
  /** How well the picture shows the edge, one standard uncertainty. */
  readonly edgeUPx?: number;
}

/** What a person says of the part that is measured. */
export interface PartSaid {
  /** Two points, upright pixels: from the head's end towards the toes'. */
  readonly headToToe?: readonly [XY, XY];
  readonly limb?: LimbInPicture;
  /** Curved, by an amount that nobody measured. */
  readonly isCurved?: boolean;
}

export interface Measurements {
  readonly regions: readonly RegionMeasurement[];
  /** All regions together; only where there are several. */
  readonly total?: { readonly areaMm2: Measured };
  readonly method: "plane" | "local-scale";
  readonly budget: readonly { readonly source: string; readonly u: number }[];
  readonly warnings: readonly string[];
}

/** Coverage factor of every interval here. */
const K = 2;
/** The outline is smoothed by a bell of this standard deviation before its perimeter is taken. */
export const SMOOTHING_MM = 0.5;
/** A bell narrower than this many pixels would leave the pixels' own steps in the perimeter. */
const LEAST_SMOOTHING_PX = 1.5;

/**
 * Area, length, width and perimeter of each region with 95 % intervals (k = 2): in the plane of the scale where the
 * picture determines it, else by the scale's own px/mm, widened by what an unknown lean can do. The surface is taken
 * as flat, or as a limb that a person describes. `budget` is that of the largest region's area.
 * @param own what the department's repeated outlines say of its edges
 * @source JCGM100 §5.1.2
 * @returns a reason where what was said of the part does not fit the picture
 */
export function measureRegions(
  regions: readonly DrawnRegion[],
  reading: ScaleFound,
  said: PartSaid = {},
  own?: OwnRepeats,
): Measurements | { readonly reason: string } {
  const measured: (MeasuredShape & { readonly sources: readonly Source[] })[] = [];
  for (const region of regions) {
    const shape = measuredShape(region, reading, said, own);
    if ("reason" in shape) return shape;
    measured.push({ ...shape, sources: sourcesOf(shape, reading) });
  }
  const largest = measured.reduce((a, b) => (b.shape.area > a.shape.area ? b : a));
  const { budget } = result(largest.shape.area, largest.sources, "area");
  return {
    regions: measured.map((m) => answerOf(m, said)),
    ...(measured.length > 1 && { total: { areaMm2: together(measured) } }),
    method: largest.force.method,
    budget: budget.map(({ source, u }) => ({ source, u: u / largest.shape.area })).filter(({ u }) => u > 0),
    warnings: warningsOf(measured, largest.force, reading),
  };
}

function measuredShape(
  region: DrawnRegion,
  reading: ScaleFound,
  said: PartSaid,
  own: OwnRepeats | undefined,
): MeasuredShape | { readonly reason: string } {
  const at = centroidOf(region);
  const force = scaleInForce(reading, at);
  const limb = said.limb ? knownLimb(said.limb, force) : null;
  if (limb && "reason" in limb) return limb;
  const laid = limb ? onSkin(region, force, limb.cylinder) : inPlane(region, force);
  if (!laid)
    return { reason: "The outline reaches past the limb's visible edge: mark the limb's edges again." };
  const smoothing = Math.max(SMOOTHING_MM, LEAST_SMOOTHING_PX / force.pxPerMm);
  if (said.headToToe && isOnePoint(said.headToToe)) {
    return { reason: "The two points of the head-to-toe line are the same." };
  }
  const axisPx = said.headToToe?.map(([x, y]) => ({ x, y })) as [Point, Point] | undefined;
  const axis = limb ? AXIS_ON_LIMB : (axisPx?.map(force.toMm) as [Point, Point] | undefined);
  return {
    region,
    edge: placedEdge(region.edgeUPx, own, force.pxPerMm),
    at,
    force,
    laid,
    shape: shapeOf(laid, smoothing, axis),
    smoothing,
    axisPx: axisPx ?? null,
    limb: limb && { ...limb, said: said.limb! },
    isCurved: said.isCurved === true,
  };
}

const isOnePoint = ([[ax, ay], [bx, by]]: readonly [XY, XY]) => ax === bx && ay === by;

const inPlane = ({ outline, holes }: Region, { toMm }: ScaleInForce): Region => ({
  outline: outline.map(toMm),
  holes: holes.map((hole) => hole.map(toMm)),
});

/** Value and 95 % interval of a figure, and what each source adds to it. */
function result(value: number, sources: readonly Source[], figure: Figure) {
  const { u, budget } = propagate({
    f: (errors) => sources.reduce((sum, s, i) => sum + s.effect[figure] * errors[i]!, value),
    inputs: sources.map(({ name }) => ({ name, value: 0, u: 1 })),
  });
  return { measured: { value, u95: K * u }, budget };
}

/** Errors that the regions share add up, those of each for itself add in quadrature. */
function together(measured: readonly (MeasuredShape & { readonly sources: readonly Source[] })[]): Measured {
  const value = measured.reduce((sum, m) => sum + m.shape.area, 0);
  const variance = measured[0]!.sources.reduce((total, { independent }, i) => {
    const effects = measured.map((m) => m.sources[i]!.effect.area);
    const u = independent ? Math.hypot(...effects) : effects.reduce((sum, e) => sum + e, 0);
    return total + u * u;
  }, 0);
  return { value, u95: K * Math.sqrt(variance) };
}

function answerOf(
  { region, laid, shape, sources, limb, edge }: MeasuredShape & { readonly sources: readonly Source[] },
  said: PartSaid,
): RegionMeasurement {
  const measured = (f: Figure) => result(shape[f], sources, f).measured;
  // In millimetres and on a limb the points keep their order: the same number is the same point.
  const pxOf = (ends: readonly [Point, Point]) =>
    ends.map((end) => {
      const { x, y } = region.outline[laid.outline.indexOf(end)]!;
      return [x, y] as const;
    }) as unknown as readonly [XY, XY];
  const { ellipse } = shape;
  return {
    areaMm2: measured("area"),
    lengthMm: measured("length"),
    widthMm: measured("width"),
    perimeterMm: measured("perimeter"),
    perimeterSmoothingMm: shape.smoothing,
    ...((said.headToToe || limb) && {
      headToToe: { lengthMm: measured("alongAxis"), widthMm: measured("acrossAxis") },
    }),
    edge: { uMm: edge.uMm, from: edge.from },
    circularity: (4 * Math.PI * shape.area) / shape.perimeter ** 2,
    ellipse: ellipse && { majorMm: 2 * ellipse.semiMajor, minorMm: 2 * ellipse.semiMinor },
    lengthEndsPx: pxOf(shape.lengthEnds),
    widthEndsPx: pxOf(shape.widthEnds),
  };
}
