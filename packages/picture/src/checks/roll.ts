import type { ScaleAnswer } from "../answers.ts";
import type { Judged, RollSeen } from "../look-answer.ts";

/** A scale laid more slantwise than this was not meant to lie along the frame. */
const SLANTWISE_DEG = 25;
/** What a slight lean does to the direction of a line, 95 %. */
const BY_LEAN_DEG = 0.5;

/** How far the longest edge of a scale is turned against the frame. */
export function rollSeen(scale: ScaleAnswer | undefined): Judged<RollSeen> {
  const edge = scale?.found ? [...scale.scales].sort((a, b) => b.coverageMm - a.coverageMm)[0] : undefined;
  if (!edge) return { judged: false, why: "No scale was read: nothing in the frame tells its turn." };
  const deg = edge.axisDeg - 90 * Math.round(edge.axisDeg / 90);
  if (Math.abs(deg) > SLANTWISE_DEG)
    return { judged: false, why: "The scale lies slantwise: it does not tell how the frame should stand." };
  const lengthPx = Math.max(1, edge.coverageMm * edge.pxPerMm.value);
  const byFit = (2 * edge.residualPx * 180) / Math.PI / lengthPx;
  return { judged: true, deg: { value: deg, u95: Math.hypot(BY_LEAN_DEG, byFit) }, by: "scale" };
}
