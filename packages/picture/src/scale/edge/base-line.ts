import type { Point } from "@samescale/geometry";
import { medianDeviation, theilSen } from "../numbers.ts";
import type { GraduationRow } from "./graduations.ts";
import type { BarLengths } from "./lengths.ts";

/** A graduation on the line of the bars' feet. */
export interface Foot extends Point {
  readonly k: number;
}

/**
 * The line on which the bars stand, which all of them share: the side on which their lengths scatter less. It tells the
 * direction of the edge and the plane better than the band's middle, whose height above it depends on how many bars are
 * long.
 */
export interface BaseLine {
  /** Along the bar at a place of the strip, px. */
  offsetPx(s: number): number;
  /** Against the strip, px per px, and its standard uncertainty. */
  readonly slope: number;
  readonly slopeU: number;
}

/** Rows in which the bars' ends are looked for are this far apart, in pitches: no foot is known better. */
const LEAST_FOOT_U = 0.06;
/** Of a median of slopes against least squares, for normal scatter. */
const MEDIAN_EFFICIENCY = 1.25;

export function baseLineOf({ strip, graduations }: GraduationRow, { bars }: BarLengths): BaseLine {
  const minus = bars.map((b) => b.minus);
  const plus = bars.map((b) => b.plus);
  const offsets = medianDeviation(minus) <= medianDeviation(plus) ? minus.map((v) => -v) : plus;
  const s = graduations.map((g) => g.s);
  const o = offsets.map((v) => v * strip.pitchPx);
  const { at0, slope } = theilSen(s, o);
  const scatter = 1.48 * medianDeviation(o.map((v, i) => v - at0 - slope * s[i]!));
  const footU = Math.max(scatter, LEAST_FOOT_U * strip.pitchPx);
  const length = Math.abs(s.at(-1)! - s[0]!);
  return {
    offsetPx: (at) => at0 + slope * at,
    slope,
    slopeU: (MEDIAN_EFFICIENCY * footU * Math.sqrt(12 / s.length)) / length,
  };
}

export function feetOf(row: GraduationRow, lengths: BarLengths): Foot[] {
  const line = baseLineOf(row, lengths);
  return row.graduations.map(({ k, s }) => ({ k, ...row.strip.at(s, line.offsetPx(s)) }));
}
