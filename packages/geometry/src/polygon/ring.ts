import type { Point } from "../units.ts";

/** A closed outline: the edge from the last point back to the first is implied, the first is not repeated. */
export type Ring = readonly Point[];

/** An outline and the holes cut out of it. */
export interface Region {
  readonly outline: Ring;
  readonly holes: readonly Ring[];
}

/**
 * Area with sign, in the square of the coordinates' unit. **y points down**, as in a picture: positive when the
 * ring runs clockwise as seen. A ring that crosses itself counts loops by their winding. The shoelace formula, about
 * the first point so that coordinates far from the origin lose no digits.
 */
export function signedAreaOf(ring: Ring): number {
  const origin = ring[0];
  if (origin === undefined) return 0;
  let twice = 0;
  for (let i = 1; i + 1 < ring.length; i++) {
    const a = ring[i]!;
    const b = ring[i + 1]!;
    twice += (a.x - origin.x) * (b.y - origin.y) - (b.x - origin.x) * (a.y - origin.y);
  }
  return twice / 2;
}

/** Area of the outline less that of its holes, whatever way round they run. Ask `namedFaults` first: holes must lie inside. */
export function areaOf(region: Region): number {
  return region.holes.reduce(
    (area, hole) => area - Math.abs(signedAreaOf(hole)),
    Math.abs(signedAreaOf(region.outline)),
  );
}

/** Length of the closed ring. */
export function perimeterOf(ring: Ring): number {
  let length = 0;
  for (let i = 0; i < ring.length; i++) {
    const a = ring[i]!;
    const b = ring[(i + 1) % ring.length]!;
    length += Math.hypot(b.x - a.x, b.y - a.y);
  }
  return length;
}

/** The ring turned the way asked for, as seen with y down. A ring without area is returned as it is. */
export function orient(ring: Ring, way: "clockwise" | "anticlockwise"): Ring {
  const area = signedAreaOf(ring);
  const isAsAsked = way === "clockwise" ? area >= 0 : area <= 0;
  return isAsAsked ? ring : ring.toReversed();
}

/** 4 π area / perimeter²: 1 for a circle, less for anything else; 0 without a perimeter. */
export function circularityOf(ring: Ring): number {
  const perimeter = perimeterOf(ring);
  return perimeter > 0 ? (4 * Math.PI * Math.abs(signedAreaOf(ring))) / (perimeter * perimeter) : 0;
}
