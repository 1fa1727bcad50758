import type { OutlineRegion, XY } from "../answers.ts";
import type { UprightPicture } from "../decode/picture.ts";
import { contoursOf, ringsAsRegions, signedArea } from "./contour.ts";
import { refineRing } from "./refine.ts";
import type { Share } from "./share.ts";
import type { WorkPicture } from "./work-picture.ts";

/** Specks of fewer work pixels come from noise, not from the subject. */
const LEAST_AREA_PX = 4;

/**
 * The outlines of a share as regions in full-size pixels, largest first.
 * @param picture what the work picture was made from: edges are placed in it
 */
export function regionsOf(work: WorkPicture, share: Share, picture: UprightPicture): OutlineRegion[] {
  const finePerWork = [picture.widthPx / work.widthPx, picture.heightPx / work.heightPx] as const;
  const rings = contoursOf(share)
    .filter((ring) => Math.abs(signedArea(ring)) >= LEAST_AREA_PX)
    .map((ring) => [...refineRing(ring, picture, finePerWork)]);
  const full = (ring: readonly XY[]): XY[] =>
    ring.map(([x, y]) => [rounded(x * work.fullPerWorkX), rounded(y * work.fullPerWorkY)]);
  return ringsAsRegions(rings).map(({ outline, holes }) => ({
    outline: full(outline),
    holes: holes.map(full),
  }));
}

/** A thousandth of a pixel is far below what an edge is known to; more digits would only make long files. */
const rounded = (v: number) => Math.round(v * 1000) / 1000;
