import { requireNotNegative, requirePositive } from "./check.ts";
import { bellowsFactor } from "./pupil.ts";

/*
 * Guide numbers hold for one small lamp head on the axis in an ordinary room. Soft boxes, ring lights,
 * bounced light and bare rooms do not obey them close up: there they give a starting value for a test
 * frame, no more (practice).
 */

/**
 * Guide number at another ISO: it grows with the square root of the sensitivity. Same length unit in and
 * out. Faults: anything not above 0.
 * @source Everything2 (square root rule); OpenPhotographic
 * @example guideNumberAtIso(12, 100, 400) // 24
 */
export function guideNumberAtIso(guideNumberM: number, fromIso: number, toIso: number): number {
  requirePositive("guideNumberM", guideNumberM);
  return guideNumberM * Math.sqrt(requirePositive("toIso", toIso) / requirePositive("fromIso", fromIso));
}

/**
 * The marked f-number to set for a flash at `distanceMm` from the subject: N = GN/(d (1 + m/P)), GN in
 * metres for the ISO in use. The distance is the *flash's*, not the lens's. With m = 0 it is the plain rule
 * for distant subjects. Faults: magnification negative, anything else not above 0.
 * @source OpenPhotographic (N = GN/d); Ray2002 (close up)
 * @example flashFNumber(12, 500, 0.25, 1) // 19.2
 */
export function flashFNumber(
  guideNumberM: number,
  distanceMm: number,
  magnification: number,
  pupilRatio: number,
): number {
  requirePositive("guideNumberM", guideNumberM);
  requireNotNegative("magnification", magnification);
  const metres = requirePositive("distanceMm", distanceMm) / 1000;
  return guideNumberM / (metres * bellowsFactor(magnification, pupilRatio));
}

/**
 * The distance from flash to subject, in mm, at which a marked f-number is right: d = GN/(N (1 + m/P)).
 * Limits and faults as for `flashFNumber`.
 * @source OpenPhotographic (N = GN/d); Ray2002 (close up), solved for d
 * @example flashDistanceMm(12, 20, 0.5, 1) // 400
 */
export function flashDistanceMm(
  guideNumberM: number,
  fNumber: number,
  magnification: number,
  pupilRatio: number,
): number {
  requirePositive("guideNumberM", guideNumberM);
  return (
    (1000 * guideNumberM) / (requirePositive("fNumber", fNumber) * bellowsFactor(magnification, pupilRatio))
  );
}
