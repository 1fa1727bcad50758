import type { Candidate } from "./candidates.ts";
import { edgeContrast } from "./edge-contrast.ts";
import { depthInside, greatestOf, insideOf } from "./mask.ts";
import type { WorkPicture } from "./work-picture.ts";

/** How far each pixel of a rectangle of the work picture is inside: 0 to 1. */
export interface Patch {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  readonly share: Float32Array;
  /** Pixels that are more inside than outside. */
  readonly area: number;
}

/** Cells of a crop on the work grid: bilinear between cells, the mean over the pixel where cells are smaller. */
export function patchOf({ crop, inside }: Pick<Candidate, "crop" | "inside">): Patch {
  const { size, pitch } = crop;
  const left = Math.floor(crop.left);
  const top = Math.floor(crop.top);
  const width = Math.ceil(crop.left + size * pitch) - left;
  const height = Math.ceil(crop.top + size * pitch) - top;
  const share = new Float32Array(width * height);
  const taps = Math.max(1, Math.round(1 / pitch));
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let sum = 0;
      for (let b = 0; b < taps; b++) {
        const fy = (top + y + (b + 0.5) / taps - crop.top) / pitch - 0.5;
        for (let a = 0; a < taps; a++) {
          sum += between(inside, size, (left + x + (a + 0.5) / taps - crop.left) / pitch - 0.5, fy);
        }
      }
      share[y * width + x] = sum / taps ** 2;
    }
  }
  return { left, top, width, height, share, area: countInside(share) };
}

function between(inside: Uint8Array, size: number, fx: number, fy: number): number {
  const x0 = Math.floor(fx);
  const y0 = Math.floor(fy);
  if (x0 < 0 || y0 < 0 || x0 + 1 >= size || y0 + 1 >= size) return 0;
  const p = y0 * size + x0;
  const ax = fx - x0;
  const ay = fy - y0;
  return (
    (inside[p]! * (1 - ax) + inside[p + 1]! * ax) * (1 - ay) +
    (inside[p + size]! * (1 - ax) + inside[p + size + 1]! * ax) * ay
  );
}

function countInside(share: Float32Array): number {
  let area = 0;
  for (const s of share) if (s >= 0.5) area++;
  return area;
}

/** Area in common over area covered. */
export function overlapOf(p: Patch, q: Patch): number {
  const left = Math.max(p.left, q.left);
  const right = Math.min(p.left + p.width, q.left + q.width);
  const bottom = Math.min(p.top + p.height, q.top + q.height);
  let both = 0;
  for (let y = Math.max(p.top, q.top); y < bottom; y++) {
    const a = (y - p.top) * p.width - p.left;
    const b = (y - q.top) * q.width - q.left;
    for (let x = left; x < right; x++) if (p.share[a + x]! >= 0.5 && q.share[b + x]! >= 0.5) both++;
  }
  const either = p.area + q.area - both;
  return either > 0 ? both / either : 0;
}

/** One way to read the place: the vote of guesses that are much alike. */
export interface Reading {
  readonly patch: Patch;
  /** Mean overlap of its best guess with those most like it: 1 when the edge is the same at every scale. */
  readonly agreement: number;
  /** How credible it is beside other readings of the same place. */
  readonly credit: number;
}

/** Others that a guess is held against: chance makes two alike, seldom four. */
const NEIGHBOURS = 3;
/** Guesses less alike than this are different readings: a wound with its rim, say, against the wound alone. */
const SAME_READING = 0.7;
/** Guesses less like a reading's best one than this have no vote in it. */
const LEAST_OVERLAP = 0.6;
/** How much it counts, for a single guess, that the seed lies in its middle. */
const CENTRING = 0.3;
/** The same for a reading: people click near the middle, not in it. */
const READING_CENTRING = 0.5;
/** L*a*b* units across an edge that are there without one. */
const CONTRAST_NOISE = 2;
/** Of two the larger, a little: a glint or a granule in the middle of a wound has a good edge too. */
const READING_SIZE = 0.05;
const MOST_READINGS = 6;

/**
 * The distinct ways to read a place, the most credible first. An edge that is really there comes out alike at several
 * scales and by both methods, what one scale invents no other confirms; and of two such edges, one around the other,
 * the click says which by lying in its middle.
 */
export function readingsOf(
  work: WorkPicture,
  candidates: readonly Candidate[],
  seedX: number,
  seedY: number,
): Reading[] {
  const patches = candidates.map(patchOf);
  const like = patches.map(() => new Array<number>(patches.length).fill(1));
  for (let i = 0; i < patches.length; i++) {
    for (let j = 0; j < i; j++) {
      like[i]![j] = overlapOf(patches[i]!, patches[j]!);
      like[j]![i] = like[i]![j]!;
    }
  }
  const agreement = like.map((row, i) => {
    const nearest = row
      .filter((_, j) => j !== i)
      .sort((a, b) => b - a)
      .slice(0, NEIGHBOURS);
    return nearest.reduce((sum, v) => sum + v, 0) / Math.max(1, nearest.length);
  });
  const score = agreement.map((a, i) => a * candidates[i]!.centred ** CENTRING);
  const left = new Set(patches.keys());
  const readings: Reading[] = [];
  while (left.size > 0 && readings.length < MOST_READINGS) {
    const best = [...left].reduce((a, b) => (score[b]! > score[a]! ? b : a));
    for (const i of left) if (like[best]![i]! >= SAME_READING) left.delete(i);
    const patch = vote(patches, like[best]!, best);
    const credit =
      agreement[best]! *
      centring(patch, seedX, seedY) ** READING_CENTRING *
      (edgeContrast(work, patch) + CONTRAST_NOISE) *
      patch.area ** READING_SIZE;
    readings.push({ patch, agreement: agreement[best]!, credit });
  }
  return readings.sort((a, b) => b.credit - a.credit);
}

/** Mean of the guesses that overlap the chosen one well, weighted by the square of the overlap. */
function vote(patches: readonly Patch[], like: readonly number[], chosen: number): Patch {
  const { left, top, width, height } = patches[chosen]!;
  const share = new Float32Array(width * height);
  let weights = 0;
  patches.forEach((p, i) => {
    if (like[i]! < LEAST_OVERLAP && i !== chosen) return;
    const weight = like[i]! ** 2;
    weights += weight;
    for (let y = Math.max(top, p.top); y < Math.min(top + height, p.top + p.height); y++) {
      const to = (y - top) * width - left;
      const from = (y - p.top) * p.width - p.left;
      for (let x = Math.max(left, p.left); x < Math.min(left + width, p.left + p.width); x++) {
        share[to + x] = share[to + x]! + weight * p.share[from + x]!;
      }
    }
  });
  for (let i = 0; i < share.length; i++) share[i] = share[i]! / weights;
  return { left, top, width, height, share, area: countInside(share) };
}

function centring({ left, top, width, height, share }: Patch, seedX: number, seedY: number): number {
  const depths = depthInside(insideOf(share), { width, height });
  const deepest = Math.max(1, greatestOf(depths));
  const here = depths[(Math.floor(seedY) - top) * width + Math.floor(seedX) - left] ?? 0;
  return Math.max(LEAST_CENTRING, here / deepest);
}

/** Pixels make a seed at the very edge look outside: it still counts for something. */
const LEAST_CENTRING = 0.05;
