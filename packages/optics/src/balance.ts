import { requirePositive } from "./check.ts";
import { airyDiscMm } from "./diffraction.ts";
import { bellowsFactor, objectToEntrancePupilMm } from "./pupil.ts";

/** The lens and the standard of sharpness, without the f-number that is looked for. */
export interface BalanceSetup {
  readonly focalMm: number;
  readonly magnification: number;
  readonly pupilRatio: number;
  readonly cocMm: number;
  readonly wavelengthNm: number;
}

/** The f-number at which a depth is rendered as sharp as it can be. */
export interface BalancedAperture {
  /** Marked f-number, not rounded to a mark. */
  readonly fNumber: number;
  readonly effectiveFNumber: number;
  /** The depth that it serves; Infinity when the greatest depth reaches infinity. */
  readonly depthMm: number;
  /** Defocus and diffraction together at both ends of the depth, as a diameter on the sensor. */
  readonly blurMm: number;
  /** The marked f-numbers that keep that blur within the circle of confusion; null when none does. */
  readonly sharpRange: { readonly fromFNumber: number; readonly toFNumber: number } | null;
}

/**
 * The f-number that balances defocus and diffraction for a wanted depth. Defocus at the ends of the depth
 * shrinks as K/N, diffraction grows as k N (1 + m/P) with k the Airy diameter per f-number; added in
 * quadrature the two are least where they are equal, N^2 = K/(k (1 + m/P)). K comes from the exact depth of
 * field: K = m f q, where q = T/(d + sqrt(d^2 + T^2)) for a depth T and the distance d to the entrance
 * pupil. Close up that is N_e = m sqrt(T/(2k)), which with 1/k = 750 is the published sqrt(375 D) for a
 * focus spread D = m^2 T. The focus is set so that both ends are equally blurred. Adding in quadrature is a
 * convention, not wave optics. Faults: anything not above 0.
 * @source Hansma1996 (in Luong's account); Peterson1996 (range); Grayheron2021 (4N/3 um, in quadrature)
 * @example balanceForDepth({ focalMm: 100, magnification: 1, pupilRatio: 1, cocMm: 0.03, wavelengthNm: 550 }, 2).sharpRange // null
 */
export function balanceForDepth(setup: BalanceSetup, depthMm: number): BalancedAperture {
  requirePositive("depthMm", depthMm);
  const pupilMm = objectToEntrancePupilMm(setup.focalMm, setup.magnification, setup.pupilRatio);
  const q = depthMm / (pupilMm + Math.hypot(pupilMm, depthMm));
  return balance(setup, setup.magnification * setup.focalMm * q, depthMm);
}

/**
 * The greatest depth that can be had with the whole blur within the circle of confusion, and the one
 * f-number that gives it: N_e = c/(k sqrt 2), whatever the ratio; close up the depth is c^2/(k m^2), 0.67
 * mm at 1:1 and 67 mm at 1:10 for c = 0.030 mm in green light. This is what to set when no depth is stated.
 * Limits and faults as for `balanceForDepth`.
 * @source Hansma1996, solved for the greatest depth within a stated blur
 * @example greatestSharpDepth({ focalMm: 50, magnification: 0.001, pupilRatio: 1, cocMm: 0.03, wavelengthNm: 550 }).depthMm // Infinity
 */
export function greatestSharpDepth(setup: BalanceSetup): BalancedAperture {
  requirePositive("cocMm", setup.cocMm);
  const pupilMm = objectToEntrancePupilMm(setup.focalMm, setup.magnification, setup.pupilRatio);
  const defocusMm = setup.cocMm ** 2 / (2 * diffractionPerFNumber(setup));
  const q = defocusMm / (setup.magnification * setup.focalMm);
  const depthMm = q < 1 ? (2 * pupilMm * q) / (1 - q * q) : Number.POSITIVE_INFINITY;
  return balance(setup, defocusMm, depthMm);
}

/** `defocusMm` is K: the defocus at the ends of the depth at f/1. */
function balance(setup: BalanceSetup, defocusMm: number, depthMm: number): BalancedAperture {
  const diffractionMm = diffractionPerFNumber(setup);
  const fNumber = Math.sqrt(defocusMm / diffractionMm);
  return {
    fNumber,
    effectiveFNumber: fNumber * bellowsFactor(setup.magnification, setup.pupilRatio),
    depthMm,
    blurMm: Math.SQRT2 * diffractionMm * fNumber,
    sharpRange: sharpRange(defocusMm, diffractionMm, setup.cocMm),
  };
}

/** Diameter of the diffraction blur per *marked* f-number: k (1 + m/P). */
function diffractionPerFNumber(setup: BalanceSetup): number {
  return airyDiscMm(1, setup.wavelengthNm) * bellowsFactor(setup.magnification, setup.pupilRatio);
}

/** The two solutions of (K/N)^2 + (k N)^2 = c^2; the smaller one in the form that does not cancel. */
function sharpRange(defocusMm: number, diffractionMm: number, cocMm: number): BalancedAperture["sharpRange"] {
  const square = requirePositive("cocMm", cocMm) ** 2;
  const product = 2 * diffractionMm * defocusMm;
  // At the greatest depth both solutions fall together, where rounding must not turn "just" into "not".
  if (product > square * (1 + 1e-12)) return null;
  const root = square + Math.sqrt(Math.max(0, square * square - product * product));
  return {
    fromFNumber: defocusMm * Math.sqrt(2 / root),
    toFNumber: Math.sqrt(root / 2) / diffractionMm,
  };
}
