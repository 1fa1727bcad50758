import { areaOf, type Point, perimeterOf } from "@samescale/geometry";
import type { OutlineRegion } from "@samescale/picture";

/** An area that may be off by more than 30 % either way helps nobody: one standard uncertainty of the edge alone. */
const MOST_EDGE_SHARE = 0.15;

/** Why an outline proposed from clicks should not be measured but drawn by a person; null when its edge is clear enough. */
export function edgeDoubt(regions: readonly OutlineRegion[]): string | null {
  for (const { outline, edgeUPx } of regions) {
    if (edgeUPx === undefined) continue;
    const ring: Point[] = outline.map(([x, y]) => ({ x, y }));
    const share = (edgeUPx * perimeterOf(ring)) / areaOf({ outline: ring, holes: [] });
    if (share > MOST_EDGE_SHARE) {
      return `The edge is too soft to be found from clicks: the area could be off by ${Math.round(200 * share)} %. Draw it by hand.`;
    }
  }
  return null;
}
