import type { Point } from "../units.ts";
import { applyHomography, type Matrix3 } from "./matrix3.ts";
import { spreadOf } from "./spread.ts";

/** One place in two frames. Put the frame that is known (a printed scale) in `from`, the measured one in `to`. */
export interface PointPair {
  readonly from: Point;
  readonly to: Point;
  /** Inverse variance of `to`, relative to the other pairs; 1 when left out, 0 leaves the pair out of the fit. */
  readonly weight?: number;
}

export interface Fitted {
  readonly ok: true;
  /** From -> to, last element 1. */
  readonly homography: Matrix3;
  /** Root mean square of the residuals, unit of `to`. */
  readonly rmsResidual: number;
  /** Distance of each mapped `from` to its `to`, in input order. */
  readonly residuals: readonly number[];
  /**
   * Covariance of the fitted elements (see the fit). For standard deviation 1 in x and y of `to` at weight 1 when just
   * determined; with more pairs scaled by what the residuals show.
   */
  readonly covariance: readonly (readonly number[])[];
  /** Equations beyond the unknowns; 0 when just determined. */
  readonly degreesOfFreedom: number;
}

export interface FitRefused {
  readonly ok: false;
  readonly reason: string;
}

export type FitResult = Fitted | FitRefused;

export const refusedFit = (reason: string): FitRefused => ({ ok: false, reason });

/** Points nearer to each other than this share of the set's size are one point: they add no direction. */
const SAME_PLACE = 1e-9;

/**
 * Ratio of the spread across to the spread along below which points lie "on one line". Positions found in a
 * picture are seldom better than 1/1000 of the length they span, so the spread across is then noise.
 */
export const ON_ONE_LINE = 1e-3;

/** Sums of numbers that differ by more than this lose the small ones to rounding. */
const LARGEST_WEIGHT_RATIO = 1e9;

/** Squares of coordinates beyond this overflow. */
const LARGEST_COORDINATE = 1e100;

/** A reason why these pairs cannot be fitted at all, or null. */
export function faultOfPairs(pairs: readonly PointPair[], least: number): string | null {
  for (const [i, { from, to, weight = 1 }] of pairs.entries()) {
    if (![from.x, from.y, to.x, to.y].every((v) => Math.abs(v) < LARGEST_COORDINATE))
      return `pair ${i} holds something that is not a number, or far too large`;
    if (!(weight >= 0) || weight === Infinity)
      return `pair ${i} has weight ${weight}; 0 or more was expected`;
  }
  const used = pairs.filter((pair) => (pair.weight ?? 1) > 0);
  if (used.length < least) return `${least} pairs of points are needed, ${used.length} were given`;
  for (const side of ["from", "to"] as const) {
    const distinct = distinctCount(used.map((pair) => pair[side]));
    if (distinct < least) {
      return `${least} different points are needed, the "${side}" side holds ${distinct} (others coincide)`;
    }
  }
  const weights = used.map((pair) => pair.weight ?? 1).sort((p, q) => p - q);
  if (weights.at(-1)! > LARGEST_WEIGHT_RATIO * weights[0]!) {
    return `weights may differ by a factor of ${LARGEST_WEIGHT_RATIO} at most; give the weakest pairs weight 0`;
  }
  return null;
}

function distinctCount(points: readonly Point[]): number {
  const { size } = spreadOf(points);
  const kept: Point[] = [];
  // Four different places are the most that any fit asks for, so the search ends early.
  for (const p of points) {
    if (kept.length === 4) break;
    if (kept.every((q) => Math.hypot(p.x - q.x, p.y - q.y) > SAME_PLACE * size)) kept.push(p);
  }
  return kept.length;
}

/** Residuals, and by how much to scale a covariance that was worked out for unit variance. */
export function judge(pairs: readonly PointPair[], h: Matrix3, unknowns: number) {
  let weighted = 0;
  let squares = 0;
  let used = 0;
  const residuals = pairs.map(({ from, to, weight = 1 }) => {
    const p = applyHomography(h, from);
    const distance = Math.hypot(p.x - to.x, p.y - to.y);
    weighted += weight * distance * distance;
    if (weight > 0) {
      squares += distance * distance;
      used += 1;
    }
    return distance;
  });
  const degreesOfFreedom = 2 * used - unknowns;
  return {
    residuals,
    rmsResidual: Math.sqrt(squares / used),
    degreesOfFreedom,
    varianceFactor: degreesOfFreedom > 0 ? weighted / degreesOfFreedom : 1,
  };
}
