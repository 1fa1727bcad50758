import type { OutlineRegion, XY } from "../answers.ts";
import { contoursOf, ringHolds, signedArea } from "./contour.ts";
import type { Share } from "./share.ts";
import type { WorkPicture } from "./work-picture.ts";

/** Specks of fewer work pixels come from noise, not from the subject. */
const LEAST_AREA_PX = 4;

/** The outlines of a share as regions in full-size pixels, largest first. */
export function regionsOf(work: WorkPicture, share: Share): OutlineRegion[] {
  const rings = contoursOf(share)
    .map((ring) => ({ ring, area: signedArea(ring) }))
    .filter(({ area }) => Math.abs(area) >= LEAST_AREA_PX);
  const outer = rings.filter(({ area }) => area > 0).sort((a, b) => a.area - b.area);
  const holes = rings.filter(({ area }) => area < 0);
  const owned = new Map<XY[], XY[][]>();
  for (const { ring: hole } of holes) {
    const [x, y] = hole[0]!;
    const owner = outer.find(({ ring }) => ringHolds(ring, x, y));
    if (owner) owned.set(owner.ring, [...(owned.get(owner.ring) ?? []), hole]);
  }
  const full = (ring: readonly XY[]): XY[] =>
    ring.map(([x, y]) => [rounded(x * work.fullPerWorkX), rounded(y * work.fullPerWorkY)]);
  return outer
    .toReversed()
    .map(({ ring }) => ({ outline: full(ring), holes: (owned.get(ring) ?? []).map(full) }));
}

/** A thousandth of a pixel is far below what an edge is known to; more digits would only make long files. */
const rounded = (v: number) => Math.round(v * 1000) / 1000;
