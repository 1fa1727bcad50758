import { requireNotNegative, requirePositive } from "./check.ts";

/*
 * The pupil ratio P is the diameter of the exit pupil over that of the entrance pupil, looked at from
 * behind and from the front with the lens focused at infinity. Symmetric lens 1; telephoto construction,
 * long macro lenses among them, below 1; wide lens built the other way round above 1. Makers seldom print
 * it; a ruler held before each end gives it.
 */

/**
 * Bellows factor 1 + m/P: by how much the lens has "lost" f-number at this magnification. At infinity (m =
 * 0) it is 1 whatever the pupils. P is that of the lens as it stands; internal focusing may change it.
 * Faults: a negative magnification, a pupil ratio not above 0.
 * @source Greivenkamp2004 p. 29; Grayheron2021 after Conrad2006
 * @example bellowsFactor(1, 0.5) // 3
 */
export function bellowsFactor(magnification: number, pupilRatio: number): number {
  return 1 + requireNotNegative("magnification", magnification) / requirePositive("pupilRatio", pupilRatio);
}

/**
 * Effective f-number N_e = N (1 + m/P) from the marked one. A camera that shows the effective f-number has
 * done this already: doing it again costs up to two more stops at 1:1 (see `markedFNumber`, `trapsOf`).
 * Faults: f-number or pupil ratio not above 0, magnification negative.
 * @source Greivenkamp2004 p. 29; BellowsTable (P = 1)
 * @example effectiveFNumber(8, 1, 1) // 16
 */
export function effectiveFNumber(fNumber: number, magnification: number, pupilRatio: number): number {
  return requirePositive("fNumber", fNumber) * bellowsFactor(magnification, pupilRatio);
}

/**
 * Marked f-number from the effective one, for cameras that show or record the effective value. Faults as
 * for `effectiveFNumber`.
 * @source Greivenkamp2004 p. 29, solved for N
 * @example markedFNumber(16, 1, 1) // 8
 */
export function markedFNumber(
  effectiveFNumberShown: number,
  magnification: number,
  pupilRatio: number,
): number {
  return (
    requirePositive("effectiveFNumber", effectiveFNumberShown) / bellowsFactor(magnification, pupilRatio)
  );
}

/**
 * Exposure factor (1 + m/P)^2: how many times the exposure time (or the flash's light) has to be for the
 * same marked f-number. Metering through the lens includes it. Limits and faults as for `bellowsFactor`.
 * @source CloseUpHandbook ch. 3 (P = 1); Army0512
 * @example exposureFactor(1, 1) // 4
 */
export function exposureFactor(magnification: number, pupilRatio: number): number {
  return bellowsFactor(magnification, pupilRatio) ** 2;
}

/**
 * The exposure factor in stops, 2 log2(1 + m/P). Limits and faults as for `bellowsFactor`.
 * @source BellowsTable (P = 1)
 * @example exposureFactorStops(1, 1) // 2
 */
export function exposureFactorStops(magnification: number, pupilRatio: number): number {
  return 2 * Math.log2(bellowsFactor(magnification, pupilRatio));
}

/**
 * Distance from the object to the entrance pupil, f(1/m + 1/P), in mm: the lens's centre of perspective,
 * from which depth of field and perspective are reckoned. It is the object distance itself when P = 1.
 * Faults: anything not above 0.
 *
 * Why: the exit pupil is the image of the entrance pupil, upright and P times its size, so the lens
 * equation puts the entrance pupil f(1 - 1/P) in front of the front principal plane (behind it, when P is
 * below 1).
 * @source Conrad2006 and VanWalree (definitions of the pupils), derived here
 * @example objectToEntrancePupilMm(100, 0.5, 0.5) // 400
 */
export function objectToEntrancePupilMm(focalMm: number, magnification: number, pupilRatio: number): number {
  requirePositive("focalMm", focalMm);
  requirePositive("pupilRatio", pupilRatio);
  return focalMm / requirePositive("magnification", magnification) + focalMm / pupilRatio;
}
