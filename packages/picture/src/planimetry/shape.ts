import {
  areaOf,
  type Ellipse,
  extentAtRightAngles,
  fittedEllipseOf,
  greatestLengthOf,
  type Point,
  perimeterOf,
  type Region,
  smooth,
} from "@samescale/geometry";

/** What is measured of one region, in the unit of its coordinates. */
export interface Shape {
  readonly area: number;
  readonly length: number;
  readonly width: number;
  readonly perimeter: number;
  /** Extent along an axis that is given, and at right angles to it; 0 without one. */
  readonly alongAxis: number;
  readonly acrossAxis: number;
  /** The outline's own points. */
  readonly lengthEnds: readonly [Point, Point];
  readonly widthEnds: readonly [Point, Point];
  /** Standard deviation of the bell the outline was smoothed with before its perimeter was taken; 0: not smoothed. */
  readonly smoothing: number;
  /** Same centroid and second moments; null without area. */
  readonly ellipse: Ellipse | null;
}

/** The figures whose uncertainty is worked out, and the power of a length that each is. */
export const POWERS = { area: 2, length: 1, width: 1, perimeter: 1, alongAxis: 1, acrossAxis: 1 } as const;
export type Figure = keyof typeof POWERS;
export const FIGURES = Object.keys(POWERS) as readonly Figure[];

/**
 * @param smoothing how much to smooth before taking the perimeter: that of a rough line grows without end as one looks
 *   closer, so it means something only together with the scale it was taken at. The perimeter counts holes too.
 * @param axis two points whose direction is the axis, such as head to toe
 */
export function shapeOf(region: Region, smoothing: number, axis?: readonly [Point, Point] | null): Shape {
  const { length, ends } = greatestLengthOf(region.outline);
  const { width, ends: widthEnds } = extentAtRightAngles(region.outline, ends);
  let perimeter = 0;
  let used = smoothing;
  for (const ring of [region.outline, ...region.holes]) {
    const smoothed = smoothing > 0 ? smooth(ring, smoothing) : { ring, sigmaUsed: 0 };
    perimeter += perimeterOf(smoothed.ring);
    used = Math.min(used, smoothed.sigmaUsed);
  }
  return {
    area: areaOf(region),
    length,
    width,
    perimeter,
    ...extentsOn(region.outline, axis),
    lengthEnds: ends,
    widthEnds,
    smoothing: used,
    ellipse: fittedEllipseOf(region),
  };
}

function extentsOn(outline: readonly Point[], axis?: readonly [Point, Point] | null) {
  if (!axis) return { alongAxis: 0, acrossAxis: 0 };
  const [p, q] = axis;
  const size = Math.hypot(q.x - p.x, q.y - p.y);
  const [ux, uy] = [(q.x - p.x) / size, (q.y - p.y) / size];
  const extent = (f: (point: Point) => number) => {
    const values = outline.map(f);
    return values.reduce((a, b) => Math.max(a, b)) - values.reduce((a, b) => Math.min(a, b));
  };
  return {
    alongAxis: extent(({ x, y }) => x * ux + y * uy),
    acrossAxis: extent(({ x, y }) => y * ux - x * uy),
  };
}
