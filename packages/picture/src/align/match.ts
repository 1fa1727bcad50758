import type { Features } from "./features.ts";

/** Landmark `a[i]` of the baseline and `b[i]` of the follow-up look most alike, each for the other. */
export interface Matches {
  readonly a: readonly number[];
  readonly b: readonly number[];
}

/** The best has to be nearer than this share of the second best, or the pattern repeats. @source Lowe2004 §7.1 */
const CLEARLY_BEST = 0.85;

/** Mutual nearest neighbours by number of differing bits, with the ratio test on the baseline's side. */
export function mutualMatches(a: Features, b: Features): Matches {
  const { words } = a;
  const bestOfA = new Int32Array(a.count).fill(-1);
  const clear = new Uint8Array(a.count);
  const bestOfB = new Int32Array(b.count).fill(-1);
  const leastOfB = new Int32Array(b.count).fill(0x7fffffff);
  for (let i = 0; i < a.count; i++) {
    let best = 0x7fffffff;
    let second = 0x7fffffff;
    for (let j = 0; j < b.count; j++) {
      let d = 0;
      for (let w = 0, p = i * words, q = j * words; w < words; w++)
        d += bits(a.descriptions[p++]! ^ b.descriptions[q++]!);
      if (d < leastOfB[j]!) {
        leastOfB[j] = d;
        bestOfB[j] = i;
      }
      if (d < best) {
        second = best;
        best = d;
        bestOfA[i] = j;
      } else if (d < second) second = d;
    }
    clear[i] = best < CLEARLY_BEST * second ? 1 : 0;
  }
  const pairs: Matches & { a: number[]; b: number[] } = { a: [], b: [] };
  for (let i = 0; i < a.count; i++) {
    const j = bestOfA[i]!;
    if (j < 0 || !clear[i] || bestOfB[j] !== i) continue;
    pairs.a.push(i);
    pairs.b.push(j);
  }
  return pairs;
}

/** Number of set bits of a 32-bit word. @source Warren2013 §5-1 (memory) */
function bits(v: number): number {
  let x = v - ((v >>> 1) & 0x55555555);
  x = (x & 0x33333333) + ((x >>> 2) & 0x33333333);
  return Math.imul((x + (x >>> 4)) & 0x0f0f0f0f, 0x01010101) >>> 24;
}
