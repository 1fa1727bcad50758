import type { OutlineRegion, XY } from "../answers.ts";
import type { UprightPicture } from "../decode/picture.ts";
import { type Reading, readingsOf } from "./agreement.ts";
import { candidatesAtClick, candidatesInBox } from "./candidates.ts";
import { editAt, type WorkClick } from "./edit.ts";
import { depthInside, squaredDistances } from "./mask.ts";
import { regionsOf } from "./regions.ts";
import { distanceToOutline, emptyShare, type Share, shareAt, withPatch } from "./share.ts";
import { type WorkPicture, workPicture } from "./work-picture.ts";

/** What a person pointed at, in upright full-size pixels (outer-corner origin). */
export interface OutlineClicks {
  readonly inside: readonly XY[];
  readonly outside: readonly XY[];
  readonly box?: readonly [x0: number, y0: number, x1: number, y1: number];
}

export interface Proposal {
  readonly regions: readonly OutlineRegion[];
  /** Why nothing can be proposed; only with no regions. */
  readonly reason?: string;
  readonly warnings: readonly string[];
}

/** Smaller than this nothing can be told apart. */
const SMALLEST_SIDE_PX = 16;
/** Of the guesses at different scales: below this they do not show the same thing. */
const LOW_AGREEMENT = 0.7;
/** L*a*b* units between the two sides of the edge: less is within the noise of the picture. */
const LEAST_CONTRAST = 2;

/**
 * Proposes an outline from a person's clicks: the first click inside (or the box) finds it, each further click
 * mends it where it is wrong. Pure and deterministic: the same pixels and clicks always give the same outline, whatever the
 * order of the later ones.
 * @param fullSize size of the upright original, where `picture` is a reduced copy of it
 */
export function proposeOutline(
  picture: UprightPicture,
  clicks: OutlineClicks,
  fullSize: { readonly widthPx: number; readonly heightPx: number } = picture,
): Proposal {
  const refusal = refusalOf(picture, clicks, fullSize);
  if (refusal) return { regions: [], reason: refusal, warnings: [] };
  const work = workPicture(picture, fullSize.widthPx, fullSize.heightPx);
  const placed = workClicks(work, clicks);
  const first = firstShare(work, placed, clicks.box);
  if (!first) {
    return { regions: [], reason: "Nothing stands out from its surroundings at this place.", warnings: [] };
  }
  const share = replay(work, first.share, placed, clicks.box && workBox(work, clicks.box));
  const regions = regionsOf(work, share, picture);
  if (regions.length === 0) {
    return { regions, reason: "The clicks leave nothing inside the outline.", warnings: [] };
  }
  return { regions, warnings: warningsOf(first.agreement) };
}

function refusalOf(
  picture: UprightPicture,
  { inside, outside, box }: OutlineClicks,
  full: { readonly widthPx: number; readonly heightPx: number },
): string | null {
  if (Math.min(picture.widthPx, picture.heightPx) < SMALLEST_SIDE_PX) {
    return `The picture is too small: ${full.widthPx} x ${full.heightPx} px.`;
  }
  if (inside.length === 0 && !box) return "No point inside was given.";
  for (const [x, y] of [...inside, ...outside]) {
    if (!(x >= 0 && y >= 0 && x <= full.widthPx && y <= full.heightPx)) {
      return `The point ${x},${y} lies outside the picture of ${full.widthPx} x ${full.heightPx} px.`;
    }
  }
  if (box) {
    const [x0, y0, x1, y1] = box;
    const left = Math.max(0, Math.min(x0, x1));
    const right = Math.min(full.widthPx, Math.max(x0, x1));
    const top = Math.max(0, Math.min(y0, y1));
    const bottom = Math.min(full.heightPx, Math.max(y0, y1));
    if (!(right - left >= 2 && bottom - top >= 2)) return "The box holds no part of the picture.";
  }
  return null;
}

function workClicks(work: WorkPicture, { inside, outside }: OutlineClicks): WorkClick[] {
  const place = ([x, y]: XY, isInside: boolean): WorkClick => ({
    x: x / work.fullPerWorkX,
    y: y / work.fullPerWorkY,
    isInside,
  });
  return [...inside.map((p) => place(p, true)), ...outside.map((p) => place(p, false))];
}

type WorkBox = readonly [x0: number, y0: number, x1: number, y1: number];

function workBox(work: WorkPicture, [x0, y0, x1, y1]: WorkBox): WorkBox {
  return [
    Math.max(0, Math.min(x0, x1) / work.fullPerWorkX),
    Math.max(0, Math.min(y0, y1) / work.fullPerWorkY),
    Math.min(work.widthPx, Math.max(x0, x1) / work.fullPerWorkX),
    Math.min(work.heightPx, Math.max(y0, y1) / work.fullPerWorkY),
  ];
}

function firstShare(
  work: WorkPicture,
  clicks: readonly WorkClick[],
  box: WorkBox | undefined,
): { readonly share: Share; readonly agreement: number } | null {
  const seed = clicks[0];
  let reading: Reading | undefined;
  if (box) {
    const inBox = workBox(work, box);
    reading = readingsOf(
      candidatesInBox(work, inBox),
      (inBox[0] + inBox[2]) / 2,
      (inBox[1] + inBox[3]) / 2,
    )[0];
  } else if (seed) {
    reading = readingsOf(candidatesAtClick(work, seed.x, seed.y), seed.x, seed.y)[0];
  }
  if (!reading) return null;
  let share = withPatch(emptyShare(work), reading.patch, 1);
  if (box) share = withinBox(share, workBox(work, box));
  return contrastAcross(work, share) < LEAST_CONTRAST ? null : { share, agreement: reading.agreement };
}

/**
 * Takes the clicks that contradict the outline. The command line keeps the order of the clicks inside and that of those
 * outside, not how they alternated: of the next one of either kind the one further from the outline goes first, as a
 * person puts right the largest error first.
 */
function replay(work: WorkPicture, first: Share, clicks: readonly WorkClick[], box?: WorkBox): Share {
  let share = first;
  const left = [...clicks];
  for (;;) {
    const wrong = left.filter(({ x, y, isInside }) => shareAt(share, x, y) >= 0.5 !== isInside);
    const next = [wrong.find((c) => c.isInside), wrong.find((c) => !c.isInside)]
      .filter((c) => c !== undefined)
      .toSorted((a, b) => distanceToOutline(share, b.x, b.y) - distanceToOutline(share, a.x, a.y))[0];
    if (!next) return share;
    left.splice(left.indexOf(next), 1);
    share = editAt(work, share, next, clicks);
    if (box) share = withinBox(share, box);
  }
}

function withinBox(share: Share, [x0, y0, x1, y1]: WorkBox): Share {
  const values = share.values.slice();
  for (let y = 0; y < share.height; y++) {
    for (let x = 0; x < share.width; x++) {
      const covered =
        Math.max(0, Math.min(x + 1, x1) - Math.max(x, x0)) *
        Math.max(0, Math.min(y + 1, y1) - Math.max(y, y0));
      values[y * share.width + x] = Math.min(values[y * share.width + x]!, covered);
    }
  }
  return { ...share, values };
}

/**
 * Distance of the mean colours of the inside and of a band round it. The band is as wide as half the inside is deep, as
 * a bruise or a swelling fades out over a good part of its size.
 */
function contrastAcross(work: WorkPicture, share: Share): number {
  const grid = { width: share.width, height: share.height };
  const inside = Uint8Array.from(share.values, (v) => (v >= 0.5 ? 1 : 0));
  const deepest = depthInside(inside, grid).reduce((a, b) => Math.max(a, b), 0);
  const toInside = Float64Array.from(inside, (v) => (v ? 0 : 1e12));
  squaredDistances(toInside, grid);
  const { lab } = work.levels[0]!;
  const sums = [
    [0, 0, 0, 0],
    [0, 0, 0, 0],
  ];
  for (let o = 0; o < inside.length; o++) {
    if (work.padding[o] || toInside[o]! > (1 + deepest / 2) ** 2) continue;
    const sum = sums[inside[o]!]!;
    for (let c = 0; c < 3; c++) sum[c] = sum[c]! + lab[3 * o + c]!;
    sum[3] = sum[3]! + 1;
  }
  const [a, b] = [sums[0]!, sums[1]!];
  if (a[3] === 0 || b[3] === 0) return 0;
  return Math.hypot(...[0, 1, 2].map((c) => a[c]! / a[3]! - b[c]! / b[3]!));
}

function warningsOf(agreement: number): string[] {
  if (agreement >= LOW_AGREEMENT) return [];
  return ["The edge is not clear here: it came out differently at different scales. Look at it closely."];
}
