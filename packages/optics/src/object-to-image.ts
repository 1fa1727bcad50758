import { outOfRange, requireAbove, requireFinite, requirePositive } from "./check.ts";
import { imageDistanceMm, objectDistanceMm } from "./distance.ts";

/** At 1:1 the distance is at its least, so a rounding of one bit must not count as "too near". */
const ROUNDING = 1e-12;

/**
 * Focal length in force from a distance that can be measured: subject to sensor mark at a known ratio, in
 * mm, f = (D - i)/(2 + m + 1/m). This is how a lens that focuses internally is put right: measure once per
 * ratio. `hiatusMm` is the separation of the principal planes (0 when unknown: then the result bears that
 * error). Fault: a distance at or below the hiatus.
 * @source Ray2002 (object to image distance, solved for f)
 * @example focalInForceMm(400, 1, 0) // 100
 */
export function focalInForceMm(objectToImage: number, magnification: number, hiatusMm: number): number {
  requireFinite("hiatusMm", hiatusMm);
  requireAbove("objectToImageMm", objectToImage, "hiatusMm", hiatusMm);
  requirePositive("magnification", magnification);
  return (objectToImage - hiatusMm) / (2 + magnification + 1 / magnification);
}

/**
 * Object to image distance D = f(2 + m + 1/m) + i, in mm: what a tape measures from the subject to the
 * sensor mark on the camera. `hiatusMm` (i) is the separation of the principal planes and can be negative.
 * It is shortest at 1:1, where it is 4f + i. Faults: focal length or magnification not above 0, hiatus not
 * finite, or so negative that nothing is left.
 * @source Ray2002
 * @example objectToImageMm(100, 1, 5) // 405
 */
export function objectToImageMm(focalMm: number, magnification: number, hiatusMm: number): number {
  requireFinite("hiatusMm", hiatusMm);
  const distance =
    objectDistanceMm(focalMm, magnification) + imageDistanceMm(focalMm, magnification) + hiatusMm;
  if (distance > 0) return distance;
  throw outOfRange(`hiatusMm above ${hiatusMm - distance}, minus object and image distance`, hiatusMm);
}

/**
 * The two magnifications that one object to image distance allows: the solutions of D = f(2 + m + 1/m) + i,
 * one at or below 1:1, its reciprocal at or above. Fault: a distance below 4f + i, from which no image
 * forms.
 * @source Ray2002 (object to image distance, solved for m)
 * @example magnificationsFromObjectToImage(100, 450, 0) // { smaller: 0.5, larger: 2 }
 */
export function magnificationsFromObjectToImage(
  focalMm: number,
  objectToImage: number,
  hiatusMm: number,
): { readonly smaller: number; readonly larger: number } {
  requirePositive("focalMm", focalMm);
  requireFinite("hiatusMm", hiatusMm);
  const half = (objectToImage - hiatusMm) / focalMm / 2 - 1;
  if (!Number.isFinite(half) || half < 1 - ROUNDING) {
    throw outOfRange(
      `objectToImageMm of 4 focalMm + hiatusMm = ${4 * focalMm + hiatusMm} or more`,
      objectToImage,
    );
  }
  const larger = half + Math.sqrt(Math.max(0, half * half - 1));
  return { smaller: 1 / larger, larger };
}
