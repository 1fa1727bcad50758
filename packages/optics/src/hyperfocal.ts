import { requirePositive } from "./check.ts";

/**
 * Hyperfocal distance H = f^2/(N c) + f from the front principal plane, in mm: focused there, everything
 * from about half of it to infinity is sharp to `cocMm`. N is the marked f-number; the pupil ratio does not
 * enter. Geometric optics: diffraction is left out. Faults: anything not above 0.
 * @source WikipediaHyperfocal
 * @example hyperfocalMm(50, 10, 0.025) // 10050
 */
export function hyperfocalMm(focalMm: number, fNumber: number, cocMm: number): number {
  requirePositive("focalMm", focalMm);
  requirePositive("fNumber", fNumber);
  return (focalMm * focalMm) / (fNumber * requirePositive("cocMm", cocMm)) + focalMm;
}
