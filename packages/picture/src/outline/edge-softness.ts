import type { OutlineRegion } from "../answers.ts";
import type { UprightPicture } from "../decode/picture.ts";
import { fittingReach, medianOf, placesAlong, type Turn, turnsAlong, uOfTurns } from "./edge-turns.ts";

/** Profiles across the edge; enough that a hair or a glint here and there does not matter to the median. */
const PROFILES = 96;
/** No outline is placed better than this on a pixel grid with noise: half a pixel either way, and the same again. */
const LEAST_U_PX = 1;

/**
 * How well an edge can be placed at all, one standard uncertainty in px of the full-size picture. Across the edge the
 * colour turns from inside to outside over some width; where in it "the" edge lies is a matter of convention. A turn
 * that is a ramp has a quarter to three quarters of its change over half its width, and any place within is as good as
 * another: u = width(25-75 %)/sqrt(3). To that comes how far the drawn line lies from the middle of the turn.
 *
 * @param scale px of `picture` per px of the region's coordinates
 */
export function edgeUPx(region: OutlineRegion, picture: UprightPicture, scale: number): number {
  const ring = region.outline.map(([x, y]) => ({ x: x * scale, y: y * scale }));
  const tries = turnsAlong(ring, placesAlong(ring, PROFILES), picture).map(({ reach, turns }) => {
    const seen = turns.filter((t): t is Turn => t !== null);
    return { reach, turns: seen, contrast: medianOf(seen.map((t) => t.contrast)) };
  });
  const { reach, turns } = fittingReach(tries);
  // Too few places where inside and outside differ: the edge may lie anywhere along the profile.
  if (turns.length < PROFILES / 4) return Math.max(LEAST_U_PX, reach / Math.sqrt(3)) / scale;
  return Math.max(LEAST_U_PX, uOfTurns(turns)) / scale;
}
