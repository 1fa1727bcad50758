import type { Rgb } from "../artwork/mark.ts";
import { rgb8 } from "../colour/colour.ts";
import { smoothNoise } from "../noise/hash.ts";

/** What is seen behind the part of the body. */
export interface Backdrop {
  readonly rgb: Rgb;
  /** How far it lies behind the surface. */
  readonly behindMm: number;
  /** 0 = taut paper, 1 = cloth with deep folds. */
  readonly folds: number;
  readonly seed: number;
}

/** Mid blue cloth 300 mm behind. */
export function standardBackdrop(overrides: Partial<Backdrop> = {}): Backdrop {
  return { rgb: rgb8(74, 112, 150), behindMm: 300, folds: 0.5, seed: 1, ...overrides };
}

/**
 * Brightness of folded cloth at a place, about 1. `softMm`: what is finer than this is blurred by the lens and
 * left out, which stands for the blur itself.
 */
export function foldsAt(x: number, y: number, folds: number, softMm: number, seed: number): number {
  if (folds === 0) return 1;
  const bent = x + 30 * smoothNoise(x / 160, y / 160, seed);
  let sum = 0;
  for (const [lengthMm, weight] of [
    [95, 1],
    [34, 0.6],
    [13, 0.3],
  ] as const) {
    const kept = 1 / (1 + (softMm / lengthMm) ** 2 * 6);
    // A ridge is brighter on the side of the light: the slope of the folds, not their height.
    const n = smoothNoise(bent / lengthMm, y / (lengthMm * 2.6), seed + lengthMm);
    sum += kept * weight * (Math.abs(n) * 1.4 - 0.45 + 0.5 * n);
  }
  return Math.max(0.25, 1 + 0.3 * folds * sum);
}
