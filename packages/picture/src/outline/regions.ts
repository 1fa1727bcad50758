import type { OutlineRegion, XY } from "../answers.ts";
import type { UprightPicture } from "../decode/picture.ts";
import { contoursOf, ringsAsRegions, signedArea } from "./contour.ts";
import { refineRing } from "./refine.ts";
import type { OutlineState } from "./steps/state.ts";
import type { WorkPicture } from "./work-picture.ts";

/** Specks of fewer work pixels come from noise, not from the subject. */
const LEAST_AREA_PX = 4;

/**
 * The outlines as regions in full-size pixels, largest first.
 * @param picture what the work picture was made from: edges are placed in it
 */
export function regionsOf(
  work: WorkPicture,
  { share, byHand }: OutlineState,
  picture: UprightPicture,
): OutlineRegion[] {
  const finePerWork = [picture.widthPx / work.widthPx, picture.heightPx / work.heightPx] as const;
  const drawnAt = (x: number, y: number) =>
    byHand[Math.min(share.height - 1, y) * share.width + Math.min(share.width - 1, x)] === 1;
  // The edge runs between pixel centres: drawn where one of the four about it was.
  const isDrawn = ([x, y]: XY) => {
    const [left, top] = [Math.max(0, Math.floor(x - 0.5)), Math.max(0, Math.floor(y - 0.5))];
    return (
      drawnAt(left, top) || drawnAt(left + 1, top) || drawnAt(left, top + 1) || drawnAt(left + 1, top + 1)
    );
  };
  const rings = contoursOf(share)
    .filter((ring) => Math.abs(signedArea(ring)) >= LEAST_AREA_PX)
    .map((ring) => [...refineRing(ring, picture, finePerWork, isDrawn)]);
  const full = (ring: readonly XY[]): XY[] =>
    ring.map(([x, y]) => [rounded(x * work.fullPerWorkX), rounded(y * work.fullPerWorkY)]);
  return ringsAsRegions(rings).map(({ outline, holes }) => ({
    outline: full(outline),
    holes: holes.map(full),
  }));
}

/** A thousandth of a pixel is far below what an edge is known to; more digits would only make long files. */
const rounded = (v: number) => Math.round(v * 1000) / 1000;
