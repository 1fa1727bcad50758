import type { Cv, Scope } from "../vision/opencv.ts";
import { Assessor } from "./assess.ts";
import { isPlausible, proposalsOf } from "./candidates.ts";
import type { Plane } from "./plane.ts";
import { drawWidely } from "./refine.ts";
import type { WorkPicture } from "./work-picture.ts";

/** Whether the follow-up fits the baseline once it is turned left for right: a picture taken in a mirror, or flipped. */
export function isMirrored(cv: Cv, scope: Scope, baseline: WorkPicture, followup: WorkPicture): boolean {
  const flipped: WorkPicture = {
    fine: flip(followup.fine),
    grey: flip(followup.grey),
    counts: flip(followup.counts),
  };
  const [start] = proposalsOf(cv, scope, "akaze", baseline, flipped);
  if (!start || !isPlausible(start.homography, baseline, flipped)) return false;
  const { coarse } = drawWidely(cv, scope, new Assessor(cv, scope, baseline, flipped), start.homography);
  return coarse.share >= SURELY;
}

/** Half of the places: no two different subjects, mirrored or not, came near it. */
const SURELY = 0.5;

function flip(plane: Plane): Plane {
  const { widthPx, heightPx } = plane;
  const values = new Float32Array(plane.values.length);
  for (let y = 0; y < heightPx; y++) {
    const row = y * widthPx;
    for (let x = 0; x < widthPx; x++) values[row + x] = plane.values[row + widthPx - 1 - x]!;
  }
  return { widthPx, heightPx, values };
}
