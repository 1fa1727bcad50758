import { type Patch, patchOf, readingsOf } from "./agreement.ts";
import { candidatesAtClick, RADII_PX } from "./candidates.ts";
import { type Crop, cropAround } from "./crop.ts";
import { CUT, cutCrop, LIKELY_INSIDE, LIKELY_OUTSIDE, SURE_INSIDE, SURE_OUTSIDE } from "./graph-cut.ts";
import { depthInside, greatestOf, insideOf, partAt } from "./mask.ts";
import { distanceToOutline, type Share, shareAt, withPatch } from "./share.ts";
import type { WorkPicture } from "./work-picture.ts";

/** A person's click in work pixels. */
export interface WorkClick {
  readonly x: number;
  readonly y: number;
  readonly isInside: boolean;
}

/**
 * Everything about an edit is stated in D, the distance of the click from the present outline: a click in the
 * middle of an error lies as far from the wrong edge as the error reaches, so a disc of D is wrong, and the error
 * does not reach much further than a few D. Surely wrong is a smaller one: people do not click in the very middle, and a click
 * on the far side of the true edge must not push the outline out there.
 */
const SURE_DISC = 0.7;
/** Nothing further from the click than this many D is ever changed. */
export const EDIT_REACH = 4.5;
/** Nor anything deeper than this behind the outline: the disc lies across the error, which is as wide as the disc. */
const EDIT_DEPTH = 2.2;
const EDIT_CELLS = 88;

/** Of the way to the nearest click that says the opposite: the edge runs between the two. */
const BETWEEN_CLICKS = 0.5;

/** A part or hole of its own: looked for only this far from the outline (px of 512), and smaller than the gap to it. */
const PART_DISTANCE_PX = 8;
const PART_RADIUS = 0.8;
const PART_AGREEMENT = 0.55;
/** A click further from the outline than this many times the outline's own depth is no correction of its edge. */
const PART_GAP = 1.5;
const PART_RADII_PX = [7, ...RADII_PX];

/**
 * The outline after one more click. The click's own surroundings change, nothing else: pixels further than
 * `EDIT_REACH` times the click's distance from the outline are as before, as are those on the side that
 * the click agrees with.
 * @param clicks all clicks so far, this one among them: each holds its place
 */
export function editAt(
  work: WorkPicture,
  share: Share,
  click: WorkClick,
  clicks: readonly WorkClick[],
): Share {
  if (shareAt(share, click.x, click.y) >= 0.5 === click.isInside) return share;
  const distance = distanceToOutline(share, click.x, click.y);
  if (distance > PART_DISTANCE_PX) {
    const patch = partByItself(work, share, click, distance);
    if (patch) return withPatch(share, patch, click.isInside ? 1 : -1);
  }
  const opposite = clicks
    .filter((c) => c.isInside !== click.isInside)
    .map((c) => Math.hypot(c.x - click.x, c.y - click.y));
  const error = Math.min(distance, ...opposite.map((d) => BETWEEN_CLICKS * d));
  return Number.isFinite(error) ? recut(work, share, click, clicks, Math.max(LEAST_ERROR_PX, error)) : share;
}

const LEAST_ERROR_PX = 0.5;

/**
 * A part by itself about the click (a hole, for a click outside), with what the click agrees with already out of the way;
 * null when it touches that, or is not clear though it could belong to the outline.
 */
function partByItself(work: WorkPicture, share: Share, click: WorkClick, distance: number): Patch | null {
  const radii = PART_RADII_PX.filter((r) => r <= PART_RADIUS * distance);
  if (radii.length < 2) return null;
  const isTaken = (x: number, y: number) => shareAt(share, x, y) >= 0.5 === click.isInside;
  const candidates = candidatesAtClick(work, click.x, click.y, radii, isTaken);
  const reading = readingsOf(work, candidates, click.x, click.y)[0];
  if (!reading) return null;
  const { patch, agreement } = reading;
  if (agreement < PART_AGREEMENT && distance < PART_GAP * deepestOf(share)) return null;
  for (let y = 0; y < patch.height; y++) {
    for (let x = 0; x < patch.width; x++) {
      if (patch.share[y * patch.width + x]! < 0.5) continue;
      const wx = patch.left + x + 0.5;
      const wy = patch.top + y + 0.5;
      if (isTaken(wx - 1.5, wy) || isTaken(wx + 1.5, wy) || isTaken(wx, wy - 1.5) || isTaken(wx, wy + 1.5))
        return null;
    }
  }
  return patch;
}

function deepestOf({ values, width, height }: Share): number {
  return greatestOf(depthInside(insideOf(values), { width, height }));
}

/** Cuts the click's surroundings anew, the present edge being free only on the side the click says is wrong. */
function recut(
  work: WorkPicture,
  share: Share,
  click: WorkClick,
  clicks: readonly WorkClick[],
  distance: number,
): Share {
  const crop = cropAround(work, click.x, click.y, EDIT_REACH * distance + 1, EDIT_CELLS);
  const { size, pitch } = crop;
  const grid = { width: size, height: size };
  const present = presentInside(crop, share);
  const wrongSide = present.map((v) => ((v === 1) === click.isInside ? 0 : 1));
  const depth = depthInside(wrongSide, grid);
  const known = new Uint8Array(size * size);
  for (let j = 0; j < size; j++) {
    const y = crop.top + (j + 0.5) * pitch;
    for (let i = 0; i < size; i++) {
      const x = crop.left + (i + 0.5) * pitch;
      const o = j * size + i;
      const r = Math.hypot(x - click.x, y - click.y) / distance;
      const isFree = r <= EDIT_REACH && depth[o]! * pitch <= EDIT_DEPTH * distance;
      known[o] = crop.void[o] ? SURE_OUTSIDE : knowledge(present[o] === 1, click.isInside, r, isFree);
      for (const other of clicks) {
        if (other !== click && Math.hypot(x - other.x, y - other.y) < Math.max(pitch, 1.5)) {
          known[o] = other.isInside ? SURE_INSIDE : SURE_OUTSIDE;
        }
      }
    }
  }
  const inside = cutCrop(crop, known, CUT) ?? Uint8Array.from(known, (k) => (k >= LIKELY_INSIDE ? 1 : 0));
  const changed = inside.map((v, o) => (v !== present[o] && (v === 1) === click.isInside ? 1 : 0));
  const part = partAt(changed, grid, size / 2, size / 2, 3);
  return part ? withPatch(share, patchOf({ crop, inside: part }), click.isInside ? 1 : -1) : share;
}

function presentInside({ size, left, top, pitch }: Crop, share: Share): Uint8Array<ArrayBuffer> {
  return Uint8Array.from({ length: size * size }, (_, o) => {
    const x = left + ((o % size) + 0.5) * pitch;
    const y = top + (Math.floor(o / size) + 0.5) * pitch;
    return shareAt(share, x, y) >= 0.5 ? 1 : 0;
  });
}

/** @param r distance from the click, in D */
function knowledge(isPresent: boolean, clickIsInside: boolean, r: number, isFree: boolean): number {
  if (clickIsInside) {
    if (isPresent || r < SURE_DISC) return SURE_INSIDE;
    return isFree ? LIKELY_OUTSIDE : SURE_OUTSIDE;
  }
  if (!isPresent || r < SURE_DISC) return SURE_OUTSIDE;
  return isFree ? LIKELY_INSIDE : SURE_INSIDE;
}
