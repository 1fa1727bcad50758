import type { Point } from "@samescale/geometry";
import { median, medianDeviation } from "../numbers.ts";
import type { GraduationRow } from "./graduations.ts";
import type { BarLengths } from "./lengths.ts";

/** A graduation on the line of the bars' feet. */
export interface Foot extends Point {
  readonly k: number;
}

/**
 * The line on which the bars stand, which all of them share: the side on which their lengths scatter less. A plane is
 * fitted to these points, not to the band's middle, whose height above the line depends on how many bars are long.
 */
export function feetOf({ strip, graduations }: GraduationRow, { bars }: BarLengths): Foot[] {
  const minus = bars.map((b) => b.minus);
  const plus = bars.map((b) => b.plus);
  const offsets = medianDeviation(minus) <= medianDeviation(plus) ? minus.map((v) => -v) : plus;
  const line = theilSen(
    graduations.map((g) => g.s),
    offsets.map((o) => o * strip.pitchPx),
  );
  return graduations.map(({ k, s }) => ({ k, ...strip.at(s, line.at0 + line.slope * s) }));
}

/** Median of slopes between points half a row apart: a third of the feet may be wrong. */
function theilSen(s: readonly number[], o: readonly number[]): { at0: number; slope: number } {
  const half = s.length >> 1;
  const slopes = s.slice(half).map((x, i) => (o[i + half]! - o[i]!) / (x - s[i]!));
  const slope = median(slopes);
  return { slope, at0: median(o.map((v, i) => v - slope * s[i]!)) };
}
