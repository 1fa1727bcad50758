import { z } from "zod";
import { MARKS } from "../views/honesty.ts";

/** A threshold, and where it comes from: a department's decision, common practice, or a measurement of ours. */
const limit = (least: number, most: number) =>
  z.strictObject({
    value: z.number().min(least).max(most),
    mark: z.enum(MARKS),
    why: z.string().min(1).max(200),
  });

/** How far a picture may stray before it should be made again. */
export const tolerancesSchema = z.strictObject({
  /** Of the ratio, in percent, for a single record picture. */
  ratioPercent: limit(0.1, 50),
  /** The same where pictures are compared over time. */
  seriesRatioPercent: limit(0.1, 50),
  leanDeg: limit(0.5, 45),
  /** A scale this far out of the plane of the subject, seen as a disagreement of two scales or said by a person. */
  scaleHeightMm: limit(0.1, 100),
  /** Diameter of the blur of a point on the subject, on the 36 x 24 mm frame. */
  blurMm: limit(0.01, 1),
  /** Of the subject, without glare; twice as much is a repeat. */
  burntOutPercent: limit(0.05, 50),
  /** Of the subject, too dark to hold detail. */
  blockedPercent: limit(0.1, 90),
  /** Too bright or too dark; twice as much is a repeat. */
  exposureStops: limit(0.1, 4),
  /** Aim beside the middle, or beside the baseline's, of the frame's width or height. */
  aimedOffPercent: limit(1, 50),
  rollDeg: limit(0.5, 45),
  /** Root mean square of the folds against the cloth's smooth light. */
  backdropCreases: limit(0.005, 1),
  backdropUnevenStops: limit(0.1, 5),
  backdropShadowStops: limit(0.1, 5),
  /** Between the baseline's side of the light and this frame's. */
  lightTurnDeg: limit(5, 180),
});
type Limits = z.output<typeof tolerancesSchema>;

/** The thresholds alone. */
export type Tolerances = { readonly [K in keyof Limits]: number };

/** What judging needs: the values without their origins. */
export function tolerancesOf(limits: Limits): Tolerances {
  return Object.fromEntries(Object.entries(limits).map(([name, { value }]) => [name, value])) as Tolerances;
}
