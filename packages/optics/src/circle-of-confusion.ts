import { requirePositive } from "./check.ts";
import { cropFactor, diagonalMm, type SensorSize } from "./sensor.ts";

/**
 * The named conventions for the largest blur that still counts as sharp. They differ by a factor of 1.7, so
 * a depth of field without its convention means little.
 *
 * - "0.030-at-36x24": 0.030 mm on 36 x 24 mm, divided by the crop factor (by diagonals) elsewhere.
 * - "diagonal/1000": the older one. "diagonal/1500": the stricter, later one.
 * - "diagonal/1730": often quoted, and said to be apocryphal by the article that describes it.
 */
export type CocConvention = "0.030-at-36x24" | "diagonal/1000" | "diagonal/1500" | "diagonal/1730";

const DIAGONALS: Readonly<Record<Exclude<CocConvention, "0.030-at-36x24">, number>> = {
  "diagonal/1000": 1000,
  "diagonal/1500": 1500,
  "diagonal/1730": 1730,
};

/**
 * Circle of confusion in mm for a sensor by a named convention. All of them assume that the whole picture
 * is looked at, on a small print; a picture that is cropped or measured at pixel level needs a smaller one.
 * Fault: a side not above 0.
 * @source ILearnCoc (0.030 by crop); WikipediaCoc (the three by diagonal)
 * @example circleOfConfusionMm({ widthMm: 40, heightMm: 30 }, "diagonal/1000") // 0.05
 */
export function circleOfConfusionMm(sensor: SensorSize, convention: CocConvention): number {
  if (convention === "0.030-at-36x24") return 0.03 / cropFactor(sensor);
  return diagonalMm(sensor) / DIAGONALS[convention];
}

/**
 * How many circles of confusion span the diagonal, to name the convention behind a stated value. Faults: a
 * side or the circle not above 0.
 * @source WikipediaCoc
 * @example diagonalOverCoc({ widthMm: 40, heightMm: 30 }, 0.05) // 1000
 */
export function diagonalOverCoc(sensor: SensorSize, cocMm: number): number {
  return diagonalMm(sensor) / requirePositive("cocMm", cocMm);
}
