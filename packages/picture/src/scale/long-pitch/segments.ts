import { noiseSigma } from "../search/coding.ts";
import type { Level } from "../search/pyramid.ts";

/** A short straight border between darker and brighter, in pixels of its level. */
export interface Segment {
  /** Middle. */
  readonly x: number;
  readonly y: number;
  /** Unit vector across it, from dark to bright. */
  readonly nx: number;
  readonly ny: number;
  readonly length: number;
  /** Grey levels per pixel, mean. */
  readonly strength: number;
}

/** Grey levels per pixel: twice the steps of eight bits, across a region of the tolerance below. */
const LEAST_GRADIENT = 6;
const NOISE_SIGMAS = 4;
/** Directions within a segment; the usual choice for regions grown from gradients. */
const TOLERANCE_COS = Math.cos(Math.PI / 8);
const SHORTEST_PX = 6;
/** A border is blurred over a few pixels; what is wider is shading or an arc. */
const MOST_WIDTH_PX = 5;
const MOST_WIDTH_SHARE = 0.6;
const BINS = 256;

/**
 * Straight borders, found by growing regions of one gradient direction from the steepest pixels on.
 * @source GromponeVonGioi2012
 */
export function segmentsOf(level: Level): Segment[] {
  const { widthPx, heightPx } = level;
  const field = gradientField(level, Math.max(LEAST_GRADIENT, NOISE_SIGMAS * noiseSigma(level)));
  const used = new Uint8Array(widthPx * heightPx);
  const region: number[] = [];
  const segments: Segment[] = [];
  for (const seed of steepestFirst(field)) {
    if (used[seed]) continue;
    grow(seed, field, widthPx, used, region);
    if (region.length < SHORTEST_PX) continue;
    const segment = segmentFrom(region, field, widthPx);
    if (segment) segments.push(segment);
  }
  return segments;
}

interface Field {
  /** Of the four pixels whose top left one is named; 0 where the gradient is too small to count. */
  readonly magnitude: Float32Array;
  readonly gx: Float32Array;
  readonly gy: Float32Array;
}

function gradientField({ widthPx, heightPx, grey }: Level, least: number): Field {
  const magnitude = new Float32Array(widthPx * heightPx);
  const gx = new Float32Array(widthPx * heightPx);
  const gy = new Float32Array(widthPx * heightPx);
  for (let y = 0; y + 1 < heightPx; y++) {
    for (let x = 0, at = y * widthPx; x + 1 < widthPx; x++, at++) {
      const falling = grey[at + widthPx + 1]! - grey[at]!;
      const rising = grey[at + 1]! - grey[at + widthPx]!;
      const m = Math.sqrt(0.5 * (falling * falling + rising * rising));
      if (m < least) continue;
      magnitude[at] = m;
      gx[at] = (0.5 * (falling + rising)) / m;
      gy[at] = (0.5 * (falling - rising)) / m;
    }
  }
  return { magnitude, gx, gy };
}

/** Places in bins of falling magnitude: a full sort is not needed. */
function steepestFirst({ magnitude }: Field): Uint32Array {
  const bin = (m: number) => BINS - 1 - Math.min(BINS - 1, Math.floor(m));
  const starts = new Uint32Array(BINS + 1);
  for (const m of magnitude) if (m > 0) starts[bin(m) + 1]!++;
  for (let i = 0; i < BINS; i++) starts[i + 1]! += starts[i]!;
  const order = new Uint32Array(starts[BINS]!);
  magnitude.forEach((m, at) => {
    if (m > 0) order[starts[bin(m)]!++] = at;
  });
  return order;
}

/** Fills `region` with what hangs together with the seed and has its direction. */
function grow(
  seed: number,
  { magnitude, gx, gy }: Field,
  width: number,
  used: Uint8Array,
  region: number[],
): void {
  region.length = 0;
  region.push(seed);
  used[seed] = 1;
  let sumX = gx[seed]!;
  let sumY = gy[seed]!;
  for (let i = 0; i < region.length; i++) {
    for (let dy = -width; dy <= width; dy += width) {
      for (let dx = -1; dx <= 1; dx++) {
        const at = region[i]! + dx + dy;
        if (at < 0 || at >= magnitude.length || used[at] || magnitude[at] === 0) continue;
        const along = gx[at]! * sumX + gy[at]! * sumY;
        if (along < 0 || along * along < TOLERANCE_COS ** 2 * (sumX * sumX + sumY * sumY)) continue;
        used[at] = 1;
        region.push(at);
        sumX += gx[at]!;
        sumY += gy[at]!;
      }
    }
  }
}

/** The region's axis of least inertia, its extent, and its middle; null when it is no thin straight border. */
function segmentFrom(region: readonly number[], { magnitude, gx, gy }: Field, width: number): Segment | null {
  let sum = 0;
  let mx = 0;
  let my = 0;
  let c = 0;
  let s = 0;
  for (const at of region) {
    const w = magnitude[at]!;
    sum += w;
    mx += w * (at % width);
    my += w * Math.floor(at / width);
    c += w * gx[at]!;
    s += w * gy[at]!;
  }
  mx /= sum;
  my /= sum;
  let xx = 0;
  let yy = 0;
  let xy = 0;
  for (const at of region) {
    const w = magnitude[at]!;
    const dx = (at % width) - mx;
    const dy = Math.floor(at / width) - my;
    xx += w * dx * dx;
    yy += w * dy * dy;
    xy += w * dx * dy;
  }
  const along = 0.5 * Math.atan2(2 * xy, xx - yy);
  const tx = Math.cos(along);
  const ty = Math.sin(along);
  let from = 0;
  let to = 0;
  let left = 0;
  let right = 0;
  for (const at of region) {
    const dx = (at % width) - mx;
    const dy = Math.floor(at / width) - my;
    const l = dx * tx + dy * ty;
    const a = dy * tx - dx * ty;
    from = Math.min(from, l);
    to = Math.max(to, l);
    left = Math.min(left, a);
    right = Math.max(right, a);
  }
  const length = to - from + 1;
  const thick = right - left + 1;
  if (length < SHORTEST_PX || thick > Math.max(MOST_WIDTH_PX, MOST_WIDTH_SHARE * length)) return null;
  // Across the axis, to the bright side.
  const side = c * -ty + s * tx > 0 ? 1 : -1;
  const middle = (from + to) / 2;
  return {
    // The gradient's own place is the corner that its four pixels share.
    x: mx + middle * tx + 1,
    y: my + middle * ty + 1,
    nx: -side * ty,
    ny: side * tx,
    length,
    strength: sum / region.length,
  };
}
