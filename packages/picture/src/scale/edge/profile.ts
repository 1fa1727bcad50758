import type { Level } from "../search/pyramid.ts";
import { greyAt } from "./sample.ts";
import type { Strip } from "./strip.ts";

/** Samples per nominal pitch along the edge. */
export const PER_PITCH = 16;

/** Grey along the edge, averaged over the rows of a band, evenly sampled. */
export interface Profile {
  readonly start: number;
  readonly stepPx: number;
  /** NaN outside the picture. */
  readonly grey: Float64Array;
  /** Grey less its mean over one pitch. */
  readonly flat: Float64Array;
}

/** @param bars how often a bar is sampled along its length */
export function profileOf(
  level: Level,
  strip: Strip,
  from: number,
  to: number,
  band: readonly [number, number],
  bars = 8,
): Profile {
  const stepPx = strip.pitchPx / PER_PITCH;
  const count = Math.max(0, Math.floor((to - from) / stepPx) + 1);
  const grey = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    let sum = 0;
    for (let r = 0; r < bars; r++) {
      const o = band[0] + ((r + 0.5) / bars) * (band[1] - band[0]);
      sum += greyAt(level, strip.at(from + i * stepPx, o));
    }
    grey[i] = sum / bars;
  }
  return { start: from, stepPx, grey, flat: lessMean(grey) };
}

function lessMean(grey: Float64Array): Float64Array {
  const half = PER_PITCH / 2;
  const flat = new Float64Array(grey.length).fill(Number.NaN);
  for (let i = half; i + half < grey.length; i++) {
    let sum = -0.5 * (grey[i - half]! + grey[i + half]!);
    for (let k = -half; k <= half; k++) sum += grey[i + k]!;
    flat[i] = grey[i]! - sum / PER_PITCH;
  }
  return flat;
}

/** Value of an evenly sampled profile at a place, linear between samples. */
export function valueAt({ start, stepPx, grey }: Profile, s: number): number {
  const p = (s - start) / stepPx;
  const i = Math.floor(p);
  if (i < 0 || i + 1 >= grey.length) return Number.NaN;
  return grey[i]! + (p - i) * (grey[i + 1]! - grey[i]!);
}
