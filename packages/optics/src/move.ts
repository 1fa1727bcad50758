import { objectDistanceMm } from "./distance.ts";

/**
 * How far to move the camera from where it reads one ratio to where it will read the planned one, in mm,
 * for the same focal length in force: u = f(1/m_planned - 1/m_read). Positive: move back. For internal
 * focusing it is an estimate that the next frame corrects, as the focal length changes with the focus.
 * Fault: a value not above 0.
 * @source Ray2002 (difference of two object distances)
 * @example moveBackMm(100, 0.125, 0.1) // 200
 */
export function moveBackMm(focalMm: number, readMagnification: number, plannedMagnification: number): number {
  return objectDistanceMm(focalMm, plannedMagnification) - objectDistanceMm(focalMm, readMagnification);
}
