import fc from "fast-check";

/** Ranges that a photographer can meet, with room at both ends. */
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

export const focalMm = between(10, 600);
export const magnification = between(0.002, 5);
export const pupilRatio = between(0.3, 3);
export const fNumber = between(1, 90);
export const cocMm = between(0.003, 0.1);
export const distanceMm = between(50, 10_000);
export const lens = fc.record({ focalMm, magnification, pupilRatio });
export const depthSetup = fc.record({ focalMm, magnification, pupilRatio, fNumber, cocMm });

/** Equal but for the rounding of a handful of operations. */
export function near(actual: number, expected: number, relative = 1e-9): boolean {
  if (actual === expected) return true;
  return Math.abs(actual - expected) <= relative * Math.max(Math.abs(actual), Math.abs(expected));
}
