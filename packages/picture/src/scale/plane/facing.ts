import type { Measured } from "@samescale/geometry";
import type { ReadScale } from "../../answers.ts";
import type { Pose } from "./pose.ts";

/**
 * Where no pose is known, half-width of the interval, relative: an edge that recedes by 40 degrees looks shorter by a
 * quarter, so that square on it would show a third more (assumed: nobody leans further).
 */
const UNKNOWN_LEAN_U95 = 0.3;

/**
 * Pixels per millimetre square to the line of sight: in the picture's middle by the plane, else at the scale by its own
 * pose, else as the edge shows it.
 */
export function facing(plane: Pose | null, single: Pose | null, { pxPerMm }: ReadScale): Measured {
  const { value, u95 } = plane?.axisPxPerMm ??
    single?.edgePxPerMm ?? { value: pxPerMm.value, u95: UNKNOWN_LEAN_U95 * pxPerMm.value };
  return { value, u95: Math.hypot(u95, (pxPerMm.u95 / pxPerMm.value) * value) };
}
