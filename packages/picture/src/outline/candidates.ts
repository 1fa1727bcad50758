import { type Crop, cropAround } from "./crop.ts";
import { cutCrop, LIKELY_INSIDE, LIKELY_OUTSIDE, SURE_INSIDE, SURE_OUTSIDE } from "./graph-cut.ts";
import { depthInside, fillHoles, greatestOf, partAt } from "./mask.ts";
import { polarPath } from "./polar-path.ts";
import type { WorkPicture } from "./work-picture.ts";

/** One guess at the inside, over a square of the work picture, in the crop's own cells. */
export interface Candidate {
  readonly crop: Crop;
  readonly inside: Uint8Array;
  /** How deep the seed lies, against the deepest place of the guess: a person clicks in the middle. */
  readonly centred: number;
}

/** What the guesses are made about: an ellipse, in work pixels. A click stands for circles of several sizes. */
export interface Seed {
  readonly x: number;
  readonly y: number;
  readonly radiusX: number;
  readonly radiusY: number;
}

/** Radii tried about a click, in pixels of a picture of 512: about a factor 1.4 apart, 2 % to 22 % of the side. */
export const RADII_PX = [10, 14, 20, 28, 40, 56, 80, 112] as const;
/** Parts of a box that the inside may fill. */
const BOX_SHARES = [1, 0.9, 0.8, 0.7, 0.6] as const;

const CROP_CELLS = 88;
/** Half side of a crop, in radii. */
const CROP_REACH = 2;

/** In radii of the seed: sure inside within, likely inside within, sure outside beyond. */
const SURE_WITHIN = 0.3;
const LIKELY_WITHIN = 0.9;
const SURE_BEYOND = 1.5;
/** Where the polar path starts and how far it may reach. */
const PATH_START = 0.6;
const PATH_REACH = 1.9;

export function candidatesAtClick(
  work: WorkPicture,
  x: number,
  y: number,
  radii: readonly number[] = RADII_PX,
  isTaken?: (x: number, y: number) => boolean,
): Candidate[] {
  return radii.flatMap((r) => candidatesFor(work, { x, y, radiusX: r, radiusY: r }, SURE_BEYOND, isTaken));
}

/** @param box in work pixels; nothing beyond it is inside */
export function candidatesInBox(
  work: WorkPicture,
  box: readonly [x0: number, y0: number, x1: number, y1: number],
): Candidate[] {
  const [x0, y0, x1, y1] = box;
  const seed = (share: number): Seed => ({
    x: (x0 + x1) / 2,
    y: (y0 + y1) / 2,
    radiusX: (share * (x1 - x0)) / 2,
    radiusY: (share * (y1 - y0)) / 2,
  });
  return BOX_SHARES.flatMap((share) => candidatesFor(work, seed(share), SURE_BEYOND / share));
}

function candidatesFor(
  work: WorkPicture,
  seed: Seed,
  sureBeyond: number,
  isTaken?: (x: number, y: number) => boolean,
): Candidate[] {
  const half = CROP_REACH * Math.max(seed.radiusX, seed.radiusY);
  const crop = cropAround(work, seed.x, seed.y, half, CROP_CELLS, isTaken);
  return [cutCandidate(crop, seed, sureBeyond), polarCandidate(crop, seed)].filter((c) => c !== null);
}

function cutCandidate(crop: Crop, seed: Seed, sureBeyond: number): Candidate | null {
  const known = new Uint8Array(crop.size ** 2);
  forCells(crop, seed, (o, dx, dy) => {
    const r = Math.hypot(dx, dy);
    if (crop.void[o] || r > sureBeyond) known[o] = SURE_OUTSIDE;
    else if (r < SURE_WITHIN) known[o] = SURE_INSIDE;
    else known[o] = r < LIKELY_WITHIN ? LIKELY_INSIDE : LIKELY_OUTSIDE;
  });
  const inside = cutCrop(crop, known);
  return inside && candidateOf(crop, inside);
}

function polarCandidate(crop: Crop, seed: Seed): Candidate | null {
  const path = polarPath(crop, seed.radiusX / crop.pitch, seed.radiusY / crop.pitch, PATH_START, PATH_REACH);
  const inside = new Uint8Array(crop.size ** 2);
  forCells(crop, seed, (o, dx, dy) => {
    const at = ((Math.atan2(dy, dx) / (2 * Math.PI) + 1) % 1) * path.length;
    const k = Math.floor(at);
    const edge = path[k % path.length]! * (1 - at + k) + path[(k + 1) % path.length]! * (at - k);
    if (Math.hypot(dx, dy) < edge && !crop.void[o]) inside[o] = 1;
  });
  return candidateOf(crop, inside);
}

/** Calls with each cell and its offset from the seed, in radii. */
function forCells(crop: Crop, seed: Seed, visit: (cell: number, dx: number, dy: number) => void): void {
  const { size } = crop;
  for (let j = 0; j < size; j++) {
    const dy = ((j + 0.5 - size / 2) * crop.pitch) / seed.radiusY;
    for (let i = 0; i < size; i++) {
      visit(j * size + i, ((i + 0.5 - size / 2) * crop.pitch) / seed.radiusX, dy);
    }
  }
}

/** Keeps the part at the seed, without its holes; null where there is none. */
function candidateOf(crop: Crop, cut: Uint8Array): Candidate | null {
  const { size } = crop;
  const grid = { width: size, height: size };
  const part = partAt(cut, grid, size / 2, size / 2, 2);
  if (!part) return null;
  const inside = fillHoles(part, grid);
  const depth = depthInside(inside, grid);
  const deepest = Math.max(1, greatestOf(depth));
  const middle = (size >> 1) * size + (size >> 1);
  const here = Math.max(depth[middle]!, depth[middle - 1]!, depth[middle - size]!, depth[middle - size - 1]!);
  return { crop, inside, centred: here / deepest };
}
