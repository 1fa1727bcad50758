import { type Reading, readingsOf } from "./agreement.ts";
import { candidatesAtClick, candidatesInBox } from "./candidates.ts";
import { depthInside, greatestOf, insideOf, squaredDistances } from "./mask.ts";
import { emptyShare, type Share, withPatch } from "./share.ts";
import { type WorkBox, withinBox } from "./work-box.ts";
import type { WorkPicture } from "./work-picture.ts";

/** L*a*b* units between the two sides of the edge: less is within the noise of the picture. */
const LEAST_CONTRAST = 2;

export interface FirstOutline {
  readonly share: Share;
  /** How alike the guesses at different scales were: 1 when they were the same. */
  readonly agreement: number;
}

interface Seed {
  readonly x: number;
  readonly y: number;
}

/** Worked out before, for as long as the work picture is at hand: later clicks ask for the same first outline again. */
const found = new WeakMap<WorkPicture, Map<string, FirstOutline | null>>();

/** What the box holds, or what lies about the seed; null where nothing stands out from its surroundings. */
export function firstOutline(work: WorkPicture, seed: Seed | null, box: WorkBox | null): FirstOutline | null {
  const known = found.get(work) ?? new Map<string, FirstOutline | null>();
  found.set(work, known);
  const name = JSON.stringify(box ?? [seed?.x, seed?.y]);
  const first = known.has(name) ? known.get(name)! : search(work, seed, box);
  known.set(name, first);
  return first;
}

function search(work: WorkPicture, seed: Seed | null, box: WorkBox | null): FirstOutline | null {
  const reading = box ? readingInBox(work, box) : seed ? readingAt(work, seed.x, seed.y) : undefined;
  if (!reading) return null;
  const all = withPatch(emptyShare(work), reading.patch, 1);
  const share = box ? withinBox(all, box) : all;
  return contrastAcross(work, share) < LEAST_CONTRAST ? null : { share, agreement: reading.agreement };
}

function readingInBox(work: WorkPicture, box: WorkBox): Reading | undefined {
  const [x0, y0, x1, y1] = box;
  return readingsOf(work, candidatesInBox(work, box), (x0 + x1) / 2, (y0 + y1) / 2)[0];
}

const readingAt = (work: WorkPicture, x: number, y: number): Reading | undefined =>
  readingsOf(work, candidatesAtClick(work, x, y), x, y)[0];

/**
 * Distance of the mean colours of the inside and of a band round it. The band is as wide as half the inside is deep, as
 * a bruise or a swelling fades out over a good part of its size.
 */
function contrastAcross(work: WorkPicture, share: Share): number {
  const grid = { width: share.width, height: share.height };
  const inside = insideOf(share.values);
  const deepest = greatestOf(depthInside(inside, grid));
  const toInside = new Float64Array(inside.length);
  for (let i = 0; i < inside.length; i++) toInside[i] = inside[i] ? 0 : 1e12;
  squaredDistances(toInside, grid);
  const { lab } = work.levels[0]!;
  const within = [0, 0, 0, 0];
  const without = [0, 0, 0, 0];
  const band2 = (1 + deepest / 2) ** 2;
  for (let o = 0; o < inside.length; o++) {
    if (work.padding[o] || toInside[o]! > band2) continue;
    const sum = inside[o] ? within : without;
    for (let c = 0; c < 3; c++) sum[c] = sum[c]! + lab[3 * o + c]!;
    sum[3] = sum[3]! + 1;
  }
  if (within[3] === 0 || without[3] === 0) return 0;
  return Math.hypot(...[0, 1, 2].map((c) => within[c]! / within[3]! - without[c]! / without[3]!));
}
