import { PER_PITCH, type Profile } from "./profile.ts";
import type { Strip } from "./strip.ts";

/** Window of the demodulation, in pitches. */
export const WINDOW_PITCHES = 6;

const WINDOW_WEIGHT = Array.from({ length: WINDOW_PITCHES * PER_PITCH + 1 }, (_, i) => {
  return 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / (WINDOW_PITCHES * PER_PITCH));
});

/**
 * Where bars are and which number each has: the unwrapped phase of the profile against a wave that has the strip's own
 * pitch everywhere. Against one pitch for the whole strip a leaning edge would slip by a turn within the window.
 */
export function numberedBars(
  { flat, start, stepPx }: Profile,
  strip: Strip,
  polarity: -1 | 1,
): { k: number; s: number }[] {
  const half = (WINDOW_PITCHES * PER_PITCH) / 2;
  const n = flat.length;
  const expected = expectedTurns(n, start, stepPx, strip);
  const cos = expected.map((turns) => Math.cos(2 * Math.PI * turns));
  const sin = expected.map((turns) => Math.sin(2 * Math.PI * turns));
  const re = new Float64Array(n);
  const im = new Float64Array(n);
  let best = -1;
  let most = 0;
  for (let j = 0; j < n; j++) {
    let a = 0;
    let b = 0;
    for (let i = Math.max(0, j - half); i <= Math.min(n - 1, j + half); i++) {
      const v = flat[i]!;
      if (Number.isNaN(v)) continue;
      const w = v * WINDOW_WEIGHT[i - j + half]!;
      a += w * cos[i]!;
      b -= w * sin[i]!;
    }
    re[j] = a;
    im[j] = b;
    const power = a * a + b * b;
    if (power > most) {
      most = power;
      best = j;
    }
  }
  if (best < 0) return [];
  // Bars are where the wave has the polarity's sign: dark bars half a turn later.
  const shift = polarity === 1 ? 0 : 0.5;
  const number = new Float64Array(n);
  const raw = (j: number) => expected[j]! + Math.atan2(im[j]!, re[j]!) / (2 * Math.PI) + shift;
  number[best] = raw(best);
  for (const sense of [1, -1]) {
    for (let j = best + sense; j >= 0 && j < n; j += sense) {
      const before = number[j - sense]! + expected[j]! - expected[j - sense]!;
      number[j] = raw(j) + Math.round(before - raw(j));
    }
  }
  const places: { k: number; s: number }[] = [];
  for (let j = 0; j + 1 < n; j++) {
    const k = Math.floor(number[j + 1]!);
    if (number[j]! >= k || number[j + 1]! < k) continue;
    const f = (k - number[j]!) / (number[j + 1]! - number[j]!);
    places.push({ k, s: start + (j + f) * stepPx });
  }
  return places;
}

/** Pitches passed from the profile's start to each of its samples, as the track saw them. */
function expectedTurns(n: number, start: number, stepPx: number, strip: Strip): Float64Array {
  const turns = new Float64Array(n);
  for (let j = 1; j < n; j++) turns[j] = turns[j - 1]! + stepPx / strip.pitchAt(start + (j - 0.5) * stepPx);
  return turns;
}
