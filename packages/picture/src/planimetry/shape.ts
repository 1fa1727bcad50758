import {
  areaOf,
  extentAtRightAngles,
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
  /** The outline's own points. */
  readonly lengthEnds: readonly [Point, Point];
  readonly widthEnds: readonly [Point, Point];
  /** Standard deviation of the bell the outline was smoothed with before its perimeter was taken; 0: not smoothed. */
  readonly smoothing: number;
}

/** The four figures whose uncertainty is worked out, and the power of a length that each is. */
export const POWERS = { area: 2, length: 1, width: 1, perimeter: 1 } as const;
export type Figure = keyof typeof POWERS;
export const FIGURES = ["area", "length", "width", "perimeter"] as const satisfies readonly Figure[];

/**
 * @param smoothing how much to smooth before taking the perimeter: that of a rough line grows without end as one looks
 *   closer, so it means something only together with the scale it was taken at. The perimeter counts holes too.
 */
export function shapeOf(region: Region, smoothing: number): Shape {
  const { length, ends } = greatestLengthOf(region.outline);
  const { width, ends: widthEnds } = extentAtRightAngles(region.outline, ends);
  let perimeter = 0;
  let used = smoothing;
  for (const ring of [region.outline, ...region.holes]) {
    const smoothed = smoothing > 0 ? smooth(ring, smoothing) : { ring, sigmaUsed: 0 };
    perimeter += perimeterOf(smoothed.ring);
    used = Math.min(used, smoothed.sigmaUsed);
  }
  return { area: areaOf(region), length, width, perimeter, lengthEnds: ends, widthEnds, smoothing: used };
}
