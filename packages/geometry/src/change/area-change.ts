import type { Measured } from "../uncertainty/measured.ts";
import { propagate } from "../uncertainty/propagate.ts";

/** A wound or lesion as it was measured on one day. */
export interface SizeOnDay {
  readonly day: number;
  /** mm². */
  readonly area: Measured;
  /** mm. */
  readonly perimeter: Measured;
}

/** From one visit to another, shrinking positive where the words say so; each with its interval. */
export interface AreaChange {
  readonly days: number;
  /** Later less earlier, mm². */
  readonly areaMm2: Measured;
  /** Later less earlier, percent of the earlier; null where the earlier area is 0. */
  readonly percent: Measured | null;
  /** mm² per week. */
  readonly areaMm2PerWeek: Measured | null;
  /** How far the edge has moved inwards: area lost over the mean perimeter, mm. Negative when it grew. */
  readonly edgeMm: Measured | null;
  readonly edgeMmPerWeek: Measured | null;
  /** Whether the change is larger than its 95 % interval. */
  readonly isBeyondUncertainty: boolean;
}

/** Errors that both visits share (the same person's way of drawing the edge) cancel in part. */
export interface SharedError {
  /** Correlation of the two areas' errors, 0 where nothing is known. */
  readonly r: number;
}

const DAYS_PER_WEEK = 7;

/**
 * Change of area between two visits: absolute, relative, per week, and the distance that the edge moved (Gilman's
 * linear advance, ΔA over the mean of both perimeters), which does not depend on the size of the wound.
 * @source Gilman1990
 * @throws UNCERTAINTY_INPUT_INVALID
 */
export function areaChange(earlier: SizeOnDay, later: SizeOnDay, shared: SharedError = { r: 0 }): AreaChange {
  const days = later.day - earlier.day;
  const inputs = [
    { name: "earlier area", value: earlier.area.value, u: earlier.area.u95 / 2 },
    { name: "later area", value: later.area.value, u: later.area.u95 / 2 },
    { name: "earlier perimeter", value: earlier.perimeter.value, u: earlier.perimeter.u95 / 2 },
    { name: "later perimeter", value: later.perimeter.value, u: later.perimeter.u95 / 2 },
  ];
  const correlations = [{ between: ["earlier area", "later area"] as const, r: shared.r }];
  const measured = (f: (a0: number, a1: number, p0: number, p1: number) => number): Measured => {
    const { value, u } = propagate({ f: ([a0, a1, p0, p1]) => f(a0!, a1!, p0!, p1!), inputs, correlations });
    return { value, u95: 2 * u };
  };
  const areaMm2 = measured((a0, a1) => a1 - a0);
  const hasPerimeter = earlier.perimeter.value + later.perimeter.value > 0;
  const edgeMm = hasPerimeter ? measured((a0, a1, p0, p1) => (2 * (a0 - a1)) / (p0 + p1)) : null;
  return {
    days,
    areaMm2,
    percent: earlier.area.value > 0 ? measured((a0, a1) => (100 * (a1 - a0)) / a0) : null,
    areaMm2PerWeek: perWeek(areaMm2, days),
    edgeMm,
    edgeMmPerWeek: perWeek(edgeMm, days),
    isBeyondUncertainty: Math.abs(areaMm2.value) > areaMm2.u95,
  };
}

function perWeek(change: Measured | null, days: number): Measured | null {
  if (!change || !(days > 0)) return null;
  return { value: (change.value * DAYS_PER_WEEK) / days, u95: (change.u95 * DAYS_PER_WEEK) / days };
}
