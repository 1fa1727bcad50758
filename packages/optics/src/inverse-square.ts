import { requirePositive } from "./check.ts";

/**
 * Inverse square law, E2/E1 = (d1/d2)^2: the light on the subject after moving the lamp from one distance
 * to another, over that before. Twice as far leaves a quarter. Holds for a lamp that is small against its
 * distance; a soft box nearer than about five times its width falls off less. Faults: distances not above
 * 0.
 * @source OpenPhotographic; the factor of five is practice
 * @example illuminanceRatio(1000, 2000) // 0.25
 */
export function illuminanceRatio(fromMm: number, toMm: number): number {
  return (requirePositive("fromMm", fromMm) / requirePositive("toMm", toMm)) ** 2;
}

/**
 * The same in stops: negative when the lamp moves away. Limits and faults as for `illuminanceRatio`.
 * @source OpenPhotographic
 * @example illuminanceStops(1000, 2000) // -2
 */
export function illuminanceStops(fromMm: number, toMm: number): number {
  return Math.log2(illuminanceRatio(fromMm, toMm));
}
