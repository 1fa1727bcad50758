import type { Point } from "@samescale/geometry";
import { median, medianDeviation, theilSen } from "../numbers.ts";
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
/** The track tells the direction as well: the middle of its band is known to this part of a pitch at every step. */
const STATION_U = 0.2;
const STATION_PITCHES = 5;

export function baseLineOf({ strip, graduations }: GraduationRow, { bars }: BarLengths): BaseLine {
  const minus = bars.map((b) => b.minus);
  const plus = bars.map((b) => b.plus);
  const offsets = medianDeviation(minus) <= medianDeviation(plus) ? minus.map((v) => -v) : plus;
  const s = graduations.map((g) => g.s);
  const o = offsets.map((v) => v * strip.pitchPx);
  const feet = theilSen(s, o);
  const scatter = 1.48 * medianDeviation(o.map((v, i) => v - feet.at0 - feet.slope * s[i]!));
  const length = Math.abs(s.at(-1)! - s[0]!);
  const slopeUOf = (each: number, count: number) => (each * Math.sqrt(12 / count)) / length;
  const feetU = slopeUOf(MEDIAN_EFFICIENCY * Math.max(scatter, LEAST_FOOT_U * strip.pitchPx), s.length);
  const stations = Math.max(1, length / (STATION_PITCHES * strip.pitchPx));
  const trackU = slopeUOf(STATION_U * strip.pitchPx, stations);
  // Weighted mean of the feet's slope and the track's own, which is none.
  const spread = Math.hypot(feetU, trackU);
  const slope = feet.slope * (trackU / spread) ** 2;
  const at0 = median(o.map((v, i) => v - slope * s[i]!));
  return {
    offsetPx: (at) => at0 + slope * at,
    slope,
    // Where the two disagree by more than they admit, one of them is wrong and neither is to be believed so much.
    slopeU: ((feetU * trackU) / spread) * Math.max(1, Math.abs(feet.slope) / spread),
  };
}

export function feetOf(row: GraduationRow, lengths: BarLengths): Foot[] {
  const line = baseLineOf(row, lengths);
  return row.graduations.map(({ k, s }) => ({ k, ...row.strip.at(s, line.offsetPx(s)) }));
}
