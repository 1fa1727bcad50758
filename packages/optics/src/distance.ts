import { requireAbove, requirePositive } from "./check.ts";

/**
 * Object distance u = f(1 + 1/m) from the front principal plane, in mm. Gaussian optics in air. `focalMm`
 * is the focal length in force at that focus: many lenses shorten it as they focus close, and then the
 * engraved value gives too long a distance (`trapsOf` says so). Faults: focal length or magnification not
 * above 0.
 * @source Ray2002
 * @example objectDistanceMm(100, 0.1) // 1100
 */
export function objectDistanceMm(focalMm: number, magnification: number): number {
  requirePositive("focalMm", focalMm);
  requirePositive("magnification", magnification);
  return focalMm + focalMm / magnification;
}

/**
 * Image distance v = f(1 + m) from the rear principal plane, in mm; the focal length for a subject at
 * infinity. Limits as for `objectDistanceMm`, except that m = 0 is allowed through `extensionMm`, not here.
 * @source Ray2002
 * @example imageDistanceMm(100, 0.25) // 125
 */
export function imageDistanceMm(focalMm: number, magnification: number): number {
  requirePositive("focalMm", focalMm);
  return focalMm + focalMm * requirePositive("magnification", magnification);
}

/**
 * Object distance from the image distance, 1/u = 1/f - 1/v, in mm from the principal planes. Fault: an
 * image distance at or below the focal length (the object would be at infinity or virtual).
 * @source LeeBellows (thin lens)
 * @example objectFromImageDistanceMm(100, 110) // 1100
 */
export function objectFromImageDistanceMm(focalMm: number, imageDistance: number): number {
  return conjugateMm(focalMm, imageDistance, "imageDistanceMm");
}

/**
 * Image distance from the object distance, 1/v = 1/f - 1/u, in mm from the principal planes. Fault: an
 * object at or inside the front focal point (no real image).
 * @source LeeBellows (thin lens)
 * @example imageFromObjectDistanceMm(100, 1100) // 110
 */
export function imageFromObjectDistanceMm(focalMm: number, objectDistance: number): number {
  return conjugateMm(focalMm, objectDistance, "objectDistanceMm");
}

function conjugateMm(focalMm: number, distanceMm: number, name: string): number {
  requirePositive("focalMm", focalMm);
  requireAbove(name, distanceMm, "focalMm", focalMm);
  return (focalMm * distanceMm) / (distanceMm - focalMm);
}

/**
 * Extension e = m f beyond infinity focus, in mm, for bellows, tubes or a lens that moves as a whole.
 * Faults: focal length or magnification not above 0.
 * @source BellowsTable
 * @example extensionMm(100, 0.5) // 50
 */
export function extensionMm(focalMm: number, magnification: number): number {
  return requirePositive("focalMm", focalMm) * requirePositive("magnification", magnification);
}
