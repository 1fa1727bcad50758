import { requireAbove, requireNotNegative, requirePositive } from "./check.ts";

/**
 * Magnification m = v/u from the distance of the image behind the rear principal plane and of the object in
 * front of the front one, both in mm. No focal length needed. Fault: a distance that is not above 0.
 * @source LeeBellows (m = v/u)
 * @example magnificationFromDistances(110, 1100) // 0.1
 */
export function magnificationFromDistances(imageDistanceMm: number, objectDistanceMm: number): number {
  return (
    requirePositive("imageDistanceMm", imageDistanceMm) /
    requirePositive("objectDistanceMm", objectDistanceMm)
  );
}

/**
 * Magnification m = (v - f)/f from focal length and image distance (for a plain bellows: the draw), in mm.
 * `focalMm` is the focal length in force at that focus. Fault: an image distance below the focal length (no
 * real object); equal to it, the subject is at infinity and m is 0.
 * @source LeeBellows (m = (v - f)/f)
 * @example magnificationFromImageDistance(200, 320) // 0.6
 */
export function magnificationFromImageDistance(focalMm: number, imageDistanceMm: number): number {
  requirePositive("focalMm", focalMm);
  return requireNotNegative("imageDistanceMm - focalMm", imageDistanceMm - focalMm) / focalMm;
}

/**
 * Magnification m = f/(u - f) from focal length and object distance, measured from the front principal
 * plane, in mm. `focalMm` is the focal length in force at that focus, which in a lens that focuses
 * internally is shorter than the engraved one. Fault: an object at or inside the front focal point (no real
 * image).
 * @source LeeBellows (m = f/(u - f))
 * @example magnificationFromObjectDistance(100, 1100) // 0.1
 */
export function magnificationFromObjectDistance(focalMm: number, objectDistanceMm: number): number {
  requirePositive("focalMm", focalMm);
  requireAbove("objectDistanceMm", objectDistanceMm, "focalMm", focalMm);
  return focalMm / (objectDistanceMm - focalMm);
}

/**
 * Magnification m = e/f from the extension e beyond infinity focus, in mm: bellows, tubes, or a lens that
 * moves as a whole. Tubes on a lens that already focused at m0 add to it: m = m0 + e/f. Does not hold for
 * internal focusing, where no extension can be measured. Faults: focal length not above 0, extension
 * negative.
 * @source BellowsTable (m = extension/focal length)
 * @example magnificationFromExtension(100, 50) // 0.5
 */
export function magnificationFromExtension(focalMm: number, extensionMm: number): number {
  return requireNotNegative("extensionMm", extensionMm) / requirePositive("focalMm", focalMm);
}

/**
 * Magnification as what it is by definition: size on the sensor over size of the subject, in the same unit,
 * both square to the axis. Holds for every lens. Fault: a size that is not above 0.
 * @source Army0512 (image over original)
 * @example magnificationFromSizes(50, 100) // 0.5
 */
export function magnificationFromSizes(imageSizeMm: number, subjectSizeMm: number): number {
  return requirePositive("imageSizeMm", imageSizeMm) / requirePositive("subjectSizeMm", subjectSizeMm);
}

/**
 * Magnification from a picture: the scale's px/mm times the pixel pitch, m = p · sensor width / picture
 * width. Holds for every lens, internal focusing included; this is the one to trust. `widthPx` is the full
 * width of the frame: a crop needs the uncropped width. Fault: anything not above 0.
 * @source RulerForum (worked examples), arithmetic
 * @example magnificationFromPicture(25, 24, 6000) // 0.1
 */
export function magnificationFromPicture(pxPerMm: number, sensorWidthMm: number, widthPx: number): number {
  requirePositive("pxPerMm", pxPerMm);
  requirePositive("sensorWidthMm", sensorWidthMm);
  return (pxPerMm * sensorWidthMm) / requirePositive("widthPx", widthPx);
}
