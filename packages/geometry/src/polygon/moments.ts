import type { Point } from "../units.ts";
import { type Region, type Ring, signedAreaOf } from "./ring.ts";

export interface Moments {
  readonly area: number;
  readonly centroid: Point;
  /** Second moments of area about the centroid, over the area: the variances of a point drawn from the region. */
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
}

/**
 * Area, centroid and central second moments of a region with holes, exactly, by Green's theorem over its edges.
 * NaN for a region without area, except the centroid, which is then the mean of the outline's points.
 * @source Steger1996 (moments of polygons); derived afresh here
 */
export function momentsOf(region: Region): Moments {
  const origin = region.outline[0] ?? { x: 0, y: 0 };
  const sums = ringSums(region.outline, origin);
  for (const hole of region.holes) {
    const cut = ringSums(hole, origin);
    for (const key of ["a", "x", "y", "xx", "xy", "yy"] as const) sums[key] -= cut[key];
  }
  if (!(sums.a > 0))
    return { area: Math.max(0, sums.a), centroid: meanOf(region.outline), xx: NaN, xy: NaN, yy: NaN };
  const mx = sums.x / sums.a;
  const my = sums.y / sums.a;
  return {
    area: sums.a,
    centroid: { x: origin.x + mx, y: origin.y + my },
    xx: sums.xx / sums.a - mx * mx,
    xy: sums.xy / sums.a - mx * my,
    yy: sums.yy / sums.a - my * my,
  };
}

/** Centre of the region's area. */
export const centroidOf = (region: Region): Point => momentsOf(region).centroid;

export interface Ellipse {
  readonly centre: Point;
  readonly semiMajor: number;
  readonly semiMinor: number;
  /** Direction of the long axis, -90 < angle <= 90, x right, y down. */
  readonly angleDeg: number;
}

/**
 * The ellipse with the same centroid and the same second moments as the region (variance along an axis of an
 * ellipse = semi-axis² / 4). Its area equals the region's only for an ellipse. Null for a region without area.
 */
export function fittedEllipseOf(region: Region): Ellipse | null {
  const { centroid, xx, xy, yy } = momentsOf(region);
  if (Number.isNaN(xx)) return null;
  const middle = (xx + yy) / 2;
  const half = Math.hypot((xx - yy) / 2, xy);
  const angle = (Math.atan2(2 * xy, xx - yy) * 90) / Math.PI;
  return {
    centre: centroid,
    semiMajor: 2 * Math.sqrt(middle + half),
    semiMinor: 2 * Math.sqrt(Math.max(0, middle - half)),
    angleDeg: angle <= -90 ? 90 : angle,
  };
}

/** Integrals of 1, x, y, x², xy, y² over a ring, taken as positive whichever way it runs. */
function ringSums(ring: Ring, origin: Point) {
  const sums = { a: 0, x: 0, y: 0, xx: 0, xy: 0, yy: 0 };
  const sign = signedAreaOf(ring) < 0 ? -1 : 1;
  for (let i = 0; i < ring.length; i++) {
    const p = ring[i]!;
    const q = ring[(i + 1) % ring.length]!;
    const [x0, y0, x1, y1] = [p.x - origin.x, p.y - origin.y, q.x - origin.x, q.y - origin.y];
    const cross = sign * (x0 * y1 - x1 * y0);
    sums.a += cross / 2;
    sums.x += (cross * (x0 + x1)) / 6;
    sums.y += (cross * (y0 + y1)) / 6;
    sums.xx += (cross * (x0 * x0 + x0 * x1 + x1 * x1)) / 12;
    sums.yy += (cross * (y0 * y0 + y0 * y1 + y1 * y1)) / 12;
    sums.xy += (cross * (2 * x0 * y0 + x0 * y1 + x1 * y0 + 2 * x1 * y1)) / 24;
  }
  return sums;
}

function meanOf(ring: Ring): Point {
  const n = ring.length;
  return { x: ring.reduce((s, p) => s + p.x / n, 0), y: ring.reduce((s, p) => s + p.y / n, 0) };
}
