import { outOfRange, requireFinite, requirePositive } from "./check.ts";

/**
 * By how much larger a plane is rendered than one `depthMm` behind it: (D + z)/D. `distanceMm` is from the
 * nearer plane to the entrance pupil (`objectToEntrancePupilMm`; close to the object distance). A negative
 * depth names a plane in front. Geometry: it holds for every lens and focal length, distance alone decides.
 * Faults: a distance not above 0, a plane at or behind the camera.
 * @source Paskhover2018 (the effect on faces; the formula is plain geometry)
 * @example scaleAgainstPlaneBehind(500, 100) // 1.2
 */
export function scaleAgainstPlaneBehind(distanceMm: number, depthMm: number): number {
  requirePositive("distanceMm", distanceMm);
  requireFinite("depthMm", depthMm);
  if (distanceMm + depthMm > 0) return (distanceMm + depthMm) / distanceMm;
  throw outOfRange(`depthMm above ${-distanceMm}, in front of the camera`, depthMm);
}

/**
 * Change of perspective between two distances: how much larger the nearer plane looks against one `depthMm`
 * behind it, seen from `toMm`, than it did from `fromMm`. 1.07 is 7 % more; below 1, the picture is
 * flatter. Two pictures at the same ratio made from different distances differ by just this. Limits and
 * faults as for `scaleAgainstPlaneBehind`. Plain geometry, no source.
 * @example perspectiveChange(1000, 500, 100) // 1.090909
 */
export function perspectiveChange(fromMm: number, toMm: number, depthMm: number): number {
  return scaleAgainstPlaneBehind(toMm, depthMm) / scaleAgainstPlaneBehind(fromMm, depthMm);
}
