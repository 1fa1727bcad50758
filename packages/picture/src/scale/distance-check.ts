import {
  formatRatio,
  magnificationFromObjectDistance,
  magnificationsFromObjectToImage,
} from "@samescale/optics";
import type { InfoAnswer } from "../answers.ts";

/**
 * Cameras note distances in coarse steps, from where is not said, and lenses that focus inside shorten their focal length
 * close up by up to a third: less than this factor apart says nothing (practice).
 */
const COARSE = 1.8;
/** Beyond, no unit in use explains the difference. */
const MOST_UNIT = 3.5;

/**
 * Whether the ratio fits the distance and the focal length that the camera noted, counted from the lens or from the
 * sensor, whichever fits better. Weak evidence: it raises a doubt in words and never decides a unit.
 * @source LeeBellows (m = f/(u - f))
 * @source Ray2002 (object to image distance)
 */
export function distanceDoubt(
  { focalMm, subjectDistanceMm }: Pick<InfoAnswer, "focalMm" | "subjectDistanceMm">,
  ratio: number,
): string | null {
  if (focalMm === null || subjectDistanceMm === null || subjectDistanceMm <= focalMm) return null;
  const fromLens = magnificationFromObjectDistance(focalMm, subjectDistanceMm);
  // Nearer than four focal lengths to the sensor there is no sharp image: life size is the limit.
  const fromSensor =
    subjectDistanceMm < 4 * focalMm
      ? 1
      : magnificationsFromObjectToImage(focalMm, subjectDistanceMm, 0).smaller;
  const least = Math.min(fromLens, fromSensor);
  const most = Math.max(fromLens, fromSensor);
  const apart = ratio > most ? ratio / most : ratio < least ? ratio / least : 1;
  if (apart <= COARSE && apart >= 1 / COARSE) return null;
  return `The camera noted ${(subjectDistanceMm / 1000).toFixed(2)} m at ${Math.round(focalMm)} mm, a ratio near ${formatRatio(apart > 1 ? most : least)}; the scale as read gives ${formatRatio(ratio)}${hint(apart)}. Compare the unit with the scale.`;
}

function hint(apart: number): string {
  if (apart > MOST_UNIT || apart < 1 / MOST_UNIT) return "";
  return apart > 1
    ? ", as it would if its graduations were wider than taken: tenths of an inch or two millimetres"
    : ", as it would if its graduations were narrower than taken: half millimetres";
}
