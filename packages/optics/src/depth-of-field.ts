import { requirePositive } from "./check.ts";
import { objectDistanceMm } from "./distance.ts";
import { objectToEntrancePupilMm } from "./pupil.ts";

/** What depth of field depends on. `fNumber` is the marked one; `focalMm` null when nobody knows it. */
export interface DepthSetup {
  readonly focalMm: number | null;
  readonly magnification: number;
  readonly fNumber: number;
  readonly cocMm: number;
  readonly pupilRatio: number;
}

/** Depth of field in mm. `behindMm`, `farMm` and `totalMm` are Infinity from the hyperfocal distance on. */
export interface DepthOfField {
  /** Which form gave it, and why that one. */
  readonly form: "exact" | "close-up";
  readonly why: string;
  /** From the plane in focus towards the camera, and away from it. */
  readonly inFrontMm: number;
  readonly behindMm: number;
  readonly totalMm: number;
  /** The limits as distances from the front principal plane; null when the focal length is not known. */
  readonly nearMm: number | null;
  readonly farMm: number | null;
  /** By which part of the true total the close-up form falls short; null when the focal length is not known. */
  readonly closeUpFormShortBy: number | null;
}

/**
 * Depth of field. The switch: **the exact form whenever a focal length is known, the close-up form when it
 * is not.** Not a threshold, because the exact form is never the worse of the two: the close-up form is its
 * limit for a long focal length, so even an engraved focal length that internal focusing has shortened lies
 * between it and the truth. Limits and faults as for the two forms.
 * @source Conrad2006; Grayheron2021; see the two forms
 * @example depthOfField({ focalMm: null, magnification: 1, fNumber: 10, cocMm: 0.03, pupilRatio: 1 }).totalMm // 1.2
 */
export function depthOfField(setup: DepthSetup): DepthOfField {
  const { focalMm } = setup;
  return focalMm === null ? closeUpDepthOfField(setup) : exactDepthOfField({ ...setup, focalMm });
}

/**
 * Exact depth of field of an aberration-free lens with pupil ratio P, in mm. With q = N c/(f m), the circle
 * of confusion laid into the subject over the entrance pupil, and d = f(1/m + 1/P), the distance from
 * subject to entrance pupil: in front d q/(1 + q), behind d q/(1 - q) and infinite when q >= 1, in all 2 N
 * c (m + P)/(P m^2) over 1 - q^2. For P = 1 the limits are s(H - f)/(H + s - 2f) and s(H - f)/(H - s).
 * Geometric: diffraction is left out (`balanceForDepth` has both). Faults: anything not above 0.
 * @source Ray2002 and WikipediaDof (P = 1); Conrad2006 (pupils), derived here for P other than 1
 * @example exactDepthOfField({ focalMm: 100, magnification: 0.1, fNumber: 10, cocMm: 1, pupilRatio: 1 }).farMm // Infinity
 */
export function exactDepthOfField(setup: DepthSetup & { readonly focalMm: number }): DepthOfField {
  const { focalMm, magnification, pupilRatio } = setup;
  const objectMm = objectDistanceMm(focalMm, magnification);
  const pupilMm = objectToEntrancePupilMm(focalMm, magnification, pupilRatio);
  const q = blurOverPupil(setup);
  const inFrontMm = (pupilMm * q) / (1 + q);
  const behindMm = q < 1 ? (pupilMm * q) / (1 - q) : Number.POSITIVE_INFINITY;
  return {
    form: "exact",
    why: "The focal length is known, and the exact form is never worse than the close-up form.",
    inFrontMm,
    behindMm,
    totalMm: inFrontMm + behindMm,
    nearMm: objectMm - inFrontMm,
    farMm: objectMm + behindMm,
    closeUpFormShortBy: Math.min(1, q * q),
  };
}

/**
 * Close-up depth of field 2 N c (m + P)/(P m^2), half of it on either side, in mm. It needs no focal
 * length. Against the exact form it is short by the part q^2 = (N c/(f m))^2 of the total, and by q behind:
 * nothing at 1:1, a third at f 50 mm, f/16, 1:59. Never use it from about a third of the hyperfocal
 * distance on. Faults: anything not above 0.
 * @source Grayheron2021 (both the form for P = 1 and the multiplier for P)
 * @example closeUpDepthOfField({ focalMm: null, magnification: 1, fNumber: 16, cocMm: 0.03, pupilRatio: 1 }).totalMm // 1.92
 */
export function closeUpDepthOfField(setup: DepthSetup): DepthOfField {
  const { magnification: m, pupilRatio } = setup;
  const fNumber = requirePositive("fNumber", setup.fNumber);
  const cocMm = requirePositive("cocMm", setup.cocMm);
  requirePositive("magnification", m);
  requirePositive("pupilRatio", pupilRatio);
  const totalMm = (2 * fNumber * cocMm * (1 + m / pupilRatio)) / (m * m);
  const half = totalMm / 2;
  const objectMm = setup.focalMm === null ? null : objectDistanceMm(setup.focalMm, m);
  return {
    form: "close-up",
    why:
      setup.focalMm === null
        ? "The focal length is not known; the close-up form needs none, and understates far from the subject."
        : "The close-up form was asked for.",
    inFrontMm: half,
    behindMm: half,
    totalMm,
    nearMm: objectMm === null ? null : objectMm - half,
    farMm: objectMm === null ? null : objectMm + half,
    closeUpFormShortBy:
      setup.focalMm === null ? null : Math.min(1, blurOverPupil({ ...setup, focalMm: setup.focalMm }) ** 2),
  };
}

/** q = N c/(f m): below 1 nearer than the hyperfocal distance, 1 at it. */
function blurOverPupil(setup: DepthSetup & { readonly focalMm: number }): number {
  return (
    (requirePositive("fNumber", setup.fNumber) * requirePositive("cocMm", setup.cocMm)) /
    (setup.focalMm * setup.magnification)
  );
}
