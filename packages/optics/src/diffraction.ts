import { requirePositive } from "./check.ts";

/** Green, where the eye and the sensor's luminance are most sensitive. */
export const GREEN_NM = 550;

/** Diameter of the Airy disc's first dark ring in wavelengths and f-numbers: twice the 1.22 of the radius. */
const AIRY = 2.44;

const MM_PER_NM = 1e-6;

/**
 * Airy disc diameter 2.44 λ N_e in mm, first dark ring to first dark ring. It takes the *effective*
 * f-number, and a lens without faults and a round aperture; a real lens is never better. Faults: anything
 * not above 0.
 * @source BornWolf; MailingList2010 (radius about N/1500 mm)
 * @example airyDiscMm(10, 500) // 0.0122
 */
export function airyDiscMm(effectiveFNumber: number, wavelengthNm: number): number {
  requirePositive("effectiveFNumber", effectiveFNumber);
  return AIRY * requirePositive("wavelengthNm", wavelengthNm) * MM_PER_NM * effectiveFNumber;
}

/**
 * The largest magnification at which the Airy disc still fits in the circle of confusion at this marked
 * f-number: m = P (c/(2.44 λ N) - 1). Null when it does not fit even at infinity: then the f-number is past
 * that limit at any ratio. Faults: anything not above 0.
 * @source BornWolf with Greivenkamp2004 p. 29, solved for m
 * @example largestMagnificationForAiry(8, 0.03904, 1, 500) // 3
 */
export function largestMagnificationForAiry(
  fNumber: number,
  cocMm: number,
  pupilRatio: number,
  wavelengthNm: number,
): number | null {
  requirePositive("fNumber", fNumber);
  requirePositive("pupilRatio", pupilRatio);
  const magnification =
    pupilRatio * (requirePositive("cocMm", cocMm) / airyDiscMm(fNumber, wavelengthNm) - 1);
  return magnification >= 0 ? magnification : null;
}
