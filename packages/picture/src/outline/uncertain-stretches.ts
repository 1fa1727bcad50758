import type { OutlineRegion, UncertainStretch, XY } from "../answers.ts";
import type { UprightPicture } from "../decode/picture.ts";
import { fittingReach, medianOf, placesAlong, type Turn, turnsAlong, uOfTurns } from "./edge-turns.ts";
import { type Share, shareAt } from "./share.ts";
import type { WorkPicture } from "./work-picture.ts";

/** Places round the outline at which the edge is looked at. */
const PLACES = 144;
/** Looked at together, either way: a hair or a glint is no doubt about the edge. */
const NEIGHBOURS = 4;
/** A doubt shorter than this many places is not told, and a gap shorter than this in one is part of it. */
const LEAST_PLACES = 6;
const LEAST_GAP = 4;
/** Uncertain: one standard uncertainty above this share of the square root of the area, and above this many work pixels. */
const DOUBT_SHARE = 0.04;
const LEAST_DOUBT_PX = 2;

/**
 * Where the edge is uncertain: stretches of the outline over which the colour turns slowly, or hardly at all, or where the
 * guesses at different scales disagreed. What a hand drew is the person's own and is not judged.
 * @param region in full-size pixels, as `regionsOf` gave it
 * @param share the vote of the guesses, in work pixels
 */
export function uncertainStretches(
  region: OutlineRegion,
  work: WorkPicture,
  { share, byHand }: { readonly share: Share; readonly byHand: Uint8Array },
  picture: UprightPicture,
): UncertainStretch[] {
  const [perX, perY] = [picture.widthPx / work.widthPx, picture.heightPx / work.heightPx];
  const finePerWork = Math.sqrt(perX * perY);
  const ring = region.outline.map(([x, y]) => ({
    x: (x / work.fullPerWorkX) * perX,
    y: (y / work.fullPerWorkY) * perY,
  }));
  const places = placesAlong(ring, PLACES);
  const tries = turnsAlong(ring, places, picture);
  const side = Math.sqrt(Math.abs(shoelace(ring)));
  const limit = Math.max(LEAST_DOUBT_PX * finePerWork, DOUBT_SHARE * side);
  const found = places.map(({ at, normal }, k) => {
    const centre: XY = [at.x / perX, at.y / perY];
    if (byHand[Math.floor(centre[1]) * work.widthPx + Math.floor(centre[0])]) return 0;
    const softness = localU(tries, k, places.length);
    return Math.max(softness, finePerWork * disagreementPx(share, centre, [normal.x, normal.y]));
  });
  const fullPerFine = Math.sqrt((work.fullPerWorkX * work.fullPerWorkY) / (perX * perY));
  return stretchesOf(found.map((u) => u > limit)).map(({ from, to }) => {
    const within = found.filter((_, k) => isBetween(k, from, to));
    return {
      fromIndex: places[from]!.index,
      toIndex: (places[to]!.index + 1) % ring.length,
      uPx: Math.round(10 * fullPerFine * medianOf(within)!) / 10,
    };
  });
}

/** Of the edge about one place, picture px. Where hardly any place sees a change the edge may lie anywhere in reach. */
function localU(
  tries: readonly { readonly reach: number; readonly turns: readonly (Turn | null)[] }[],
  k: number,
  count: number,
): number {
  const local = tries.map(({ reach, turns }) => {
    const near = Array.from(
      { length: 2 * NEIGHBOURS + 1 },
      (_, i) => turns[(k + i - NEIGHBOURS + count) % count],
    );
    const seen = near.filter((t): t is Turn => t != null);
    return { reach, turns: seen, contrast: medianOf(seen.map((t) => t.contrast)) };
  });
  const { reach, turns } = fittingReach(local);
  return turns.length <= NEIGHBOURS ? reach / Math.sqrt(3) : uOfTurns(turns);
}

/** How far along the normal the vote goes from three quarters to one quarter, as a standard uncertainty, work px. */
function disagreementPx(share: Share, [x, y]: XY, [nx, ny]: XY): number {
  let width = 0;
  for (let s = -VOTE_REACH_PX; s <= VOTE_REACH_PX; s += VOTE_STEP_PX) {
    const vote = shareAt(share, x + s * nx, y + s * ny);
    if (vote > 0.25 && vote < 0.75) width += VOTE_STEP_PX;
  }
  return width / Math.sqrt(3);
}

const VOTE_REACH_PX = 16;
const VOTE_STEP_PX = 0.5;

/** Runs of doubt round the ring, gaps closed, short ones left out; from and to both in doubt. */
function stretchesOf(doubt: readonly boolean[]): { from: number; to: number }[] {
  const n = doubt.length;
  if (doubt.filter((d) => !d).length < LEAST_GAP) return [{ from: 0, to: n - 1 }];
  // Begin where no doubt is, so that no run lies across the seam.
  const begin = doubt.findIndex((_, k) =>
    Array.from({ length: LEAST_GAP }).every((__, i) => !doubt[(k + i) % n]),
  );
  const runs: { from: number; to: number }[] = [];
  if (begin < 0) return [{ from: 0, to: n - 1 }];
  for (let i = 0; i < n; i++) {
    const k = begin + i;
    if (!doubt[k % n]) continue;
    const last = runs.at(-1);
    if (last && k - last.to <= LEAST_GAP) last.to = k;
    else runs.push({ from: k, to: k });
  }
  return runs
    .filter(({ from, to }) => to - from + 1 >= LEAST_PLACES)
    .map(({ from, to }) => ({ from: from % n, to: to % n }));
}

const isBetween = (k: number, from: number, to: number) =>
  from <= to ? k >= from && k <= to : k >= from || k <= to;

function shoelace(ring: readonly { readonly x: number; readonly y: number }[]): number {
  return ring.reduce((sum, p, i) => {
    const q = ring[(i + 1) % ring.length]!;
    return sum + (p.x * q.y - q.x * p.y) / 2;
  }, 0);
}
