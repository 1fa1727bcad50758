import type { Plane } from "./plane.ts";
import type { Texture } from "./texture.ts";

/** A small square of the baseline, and where in the warped follow-up it is found again. */
export interface Patch {
  /** Its middle, outer-corner pixels of the texture that was searched. */
  readonly x: number;
  readonly y: number;
  /** Displacement of the best match, sub-pixel: 0, 0 where the two pictures agree. */
  readonly dx: number;
  readonly dy: number;
  /** Correlation at the best match, −1 to 1. */
  readonly correlation: number;
}

export interface Search {
  /** Half-width of a patch. */
  readonly halfPx: number;
  /** How far a patch is searched each way. */
  readonly reachPx: number;
  /** Distance between patches. */
  readonly stepPx: number;
}

/** Least strength of detail in grey levels, in both pictures, for a patch to tell anything. */
const LEAST_STRENGTH = 0.3;
/** Across an edge a patch can be placed, along it it cannot: ratio of the weaker to the stronger direction's detail. */
const LEAST_CORNER = 0.08;
/** A patch may lie this much on what does not count. */
const MOST_OUTSIDE = 0.1;

/**
 * Searches every telling patch of the baseline round its own place in the warped follow-up, by normalised
 * cross-correlation. Where two pictures have nothing to do with each other the best places are scattered evenly over
 * the searched square; where they are aligned they lie in its middle.
 */
export function searchPatches(
  baseline: Texture,
  followup: Texture,
  counts: Plane,
  { halfPx, reachPx, stepPx }: Search,
): Patch[] {
  const { widthPx: w, heightPx: h } = baseline.even;
  const a = baseline.even.values;
  const b = followup.even.values;
  const sums = { b: integral(b, w, h), bb: integral(b, w, h, true) };
  const counted = integral(counts.values, w, h);
  const strengthA = integral(baseline.strength.values, w, h);
  const strengthB = integral(followup.strength.values, w, h);
  const margin = halfPx + reachPx;
  const side = 2 * halfPx + 1;
  const found: Patch[] = [];
  const surface = new Float32Array((2 * reachPx + 1) ** 2);
  const window = new Float32Array(side * side);
  for (let cy = margin; cy < h - margin; cy += stepPx) {
    for (let cx = margin; cx < w - margin; cx += stepPx) {
      const box = [cx - halfPx, cy - halfPx, side] as const;
      if (boxSum(counted, w, ...box) < (1 - MOST_OUTSIDE) * side * side) continue;
      if (boxSum(strengthA, w, ...box) < LEAST_STRENGTH * side * side) continue;
      if (boxSum(strengthB, w, ...box) < LEAST_STRENGTH * side * side) continue;
      if (!isCornered(a, w, cx, cy, halfPx)) continue;
      const spread = cutOut(a, w, ...box, window);
      const [x0, y0] = [cx - halfPx, cy - halfPx];
      search({ window, spread, b, sums, w, x0, y0, side }, reachPx, surface);
      found.push(peakOf(surface, reachPx, cx + 0.5, cy + 0.5));
    }
  }
  return found;
}

/** Summed-area table of the values, or of their squares, with a zero row and column first. */
function integral(values: Float32Array, w: number, h: number, squared = false): Float64Array {
  const sums = new Float64Array((w + 1) * (h + 1));
  for (let y = 0; y < h; y++) {
    let row = 0;
    for (let x = 0; x < w; x++) {
      const v = values[y * w + x]!;
      row += squared ? v * v : v;
      sums[(y + 1) * (w + 1) + x + 1] = sums[y * (w + 1) + x + 1]! + row;
    }
  }
  return sums;
}

function boxSum(sums: Float64Array, w: number, x: number, y: number, side: number): number {
  const top = y * (w + 1) + x;
  const low = (y + side) * (w + 1) + x;
  return sums[low + side]! - sums[low]! - sums[top + side]! + sums[top]!;
}

/** Detail in both directions, by the eigenvalues of the structure tensor. @source HarrisStephens1988 */
function isCornered(a: Float32Array, w: number, cx: number, cy: number, halfPx: number): boolean {
  let [xx, xy, yy] = [0, 0, 0];
  for (let y = cy - halfPx; y <= cy + halfPx; y += 2) {
    for (let x = cx - halfPx; x <= cx + halfPx; x += 2) {
      const i = y * w + x;
      const gx = a[i + 1]! - a[i - 1]!;
      const gy = a[i + w]! - a[i - w]!;
      xx += gx * gx;
      xy += gx * gy;
      yy += gy * gy;
    }
  }
  const half = (xx + yy) / 2;
  const root = Math.hypot((xx - yy) / 2, xy);
  return half - root > LEAST_CORNER * (half + root);
}

/** Copies the patch with its mean removed; returns the root of its sum of squares. */
function cutOut(
  a: Float32Array,
  w: number,
  x0: number,
  y0: number,
  side: number,
  window: Float32Array,
): number {
  let mean = 0;
  for (let y = 0, k = 0; y < side; y++) {
    for (let x = 0, i = (y0 + y) * w + x0; x < side; x++, i++, k++) {
      window[k] = a[i]!;
      mean += a[i]!;
    }
  }
  mean /= window.length;
  let squares = 0;
  for (let k = 0; k < window.length; k++) {
    window[k] = window[k]! - mean;
    squares += window[k]! ** 2;
  }
  return Math.sqrt(squares);
}

/** What the correlation of one patch with the follow-up needs, for any displacement. */
interface Comparison {
  readonly window: Float32Array;
  /** Root of the window's sum of squares. */
  readonly spread: number;
  readonly b: Float32Array;
  readonly sums: { readonly b: Float64Array; readonly bb: Float64Array };
  readonly w: number;
  readonly x0: number;
  readonly y0: number;
  readonly side: number;
}

function correlation(
  { window, spread, b, sums, w, x0, y0, side }: Comparison,
  dx: number,
  dy: number,
): number {
  const sum = boxSum(sums.b, w, x0 + dx, y0 + dy, side);
  const squares = boxSum(sums.bb, w, x0 + dx, y0 + dy, side) - (sum * sum) / (side * side);
  if (squares <= 1e-6) return 0;
  let dot = 0;
  for (let y = 0, k = 0; y < side; y++) {
    for (let x = 0, i = (y0 + dy + y) * w + x0 + dx; x < side; x++) dot += window[k++]! * b[i++]!;
  }
  return dot / (spread * Math.sqrt(squares));
}

/** Texture is softer than two pixels, so every second place finds the peak's foot; the rest is searched round it. */
const STRIDE_PX = 2;

/** Fills the surface where it matters: on the coarse grid, then everywhere round its best place. */
function search(comparison: Comparison, reachPx: number, surface: Float32Array): void {
  surface.fill(-1);
  const side = 2 * reachPx + 1;
  const at = (dx: number, dy: number) => (dy + reachPx) * side + dx + reachPx;
  let [bestX, bestY, best] = [0, 0, -2];
  const look = (dx: number, dy: number) => {
    const value = correlation(comparison, dx, dy);
    surface[at(dx, dy)] = value;
    if (value > best) [bestX, bestY, best] = [dx, dy, value];
  };
  for (let dy = -reachPx; dy <= reachPx; dy += STRIDE_PX) {
    for (let dx = -reachPx; dx <= reachPx; dx += STRIDE_PX) look(dx, dy);
  }
  for (let moved = true; moved; ) {
    const [cx, cy] = [bestX, bestY];
    for (let dy = Math.max(-reachPx, cy - 1); dy <= Math.min(reachPx, cy + 1); dy++) {
      for (let dx = Math.max(-reachPx, cx - 1); dx <= Math.min(reachPx, cx + 1); dx++) {
        if (surface[at(dx, dy)] === -1) look(dx, dy);
      }
    }
    moved = bestX !== cx || bestY !== cy;
  }
}

/** Best place of the surface, refined by a parabola each way. */
function peakOf(surface: Float32Array, reachPx: number, x: number, y: number): Patch {
  const side = 2 * reachPx + 1;
  let best = 0;
  for (let s = 1; s < surface.length; s++) if (surface[s]! > surface[best]!) best = s;
  const [ix, iy] = [best % side, Math.floor(best / side)];
  const offset = (before: number | undefined, at: number, after: number | undefined): number => {
    if (before === undefined || after === undefined) return 0;
    const bend = before - 2 * at + after;
    return bend < 0 ? Math.max(-0.5, Math.min(0.5, (before - after) / (2 * bend))) : 0;
  };
  const inX = ix > 0 && ix < side - 1;
  const inY = iy > 0 && iy < side - 1;
  const at = surface[best]!;
  return {
    x,
    y,
    dx: ix - reachPx + (inX ? offset(surface[best - 1], at, surface[best + 1]) : 0),
    dy: iy - reachPx + (inY ? offset(surface[best - side], at, surface[best + side]) : 0),
    correlation: at,
  };
}
