import type { GraduationRow } from "../edge/graduations.ts";
import { greyAt, levelForPitch } from "../edge/sample.ts";
import type { Level } from "../search/pyramid.ts";

/**
 * Alternating blocks beside a row of graduations, dark and light by turns, each a whole number of graduations long: the
 * usual form of photographic scales. A block of ten is a centimetre of millimetres, and settles what bars of one
 * length leave open.
 */
export interface Alternation {
  /** Graduations per block. */
  readonly length: number;
  /** Share of the ground's variation along the edge that the blocks explain, 0 to 1. */
  readonly share: number;
}

const LENGTHS = [4, 5, 8, 10, 16, 20] as const;
const REACH_PITCHES = 12;
const ROW_PITCHES = 0.5;
/** Blocks are printed solid: little else varies in their rows. */
const LEAST_SHARE = 0.85;
/** Against the next best length: a square wave of another length explains half at most. */
const LEAST_LEAD = 0.25;
/** Contrast of the blocks against the bars'. */
const LEAST_CONTRAST = 0.3;
const FEWEST_BLOCKS = 3;

export function alternatingBlocks(levels: readonly Level[], row: GraduationRow): Alternation | null {
  const { lattice, strip, graduations, contrast } = row;
  const first = graduations[0]!.k;
  const last = graduations.at(-1)!.k;
  const pitch = Math.abs(lattice.spacing((first + last) / 2));
  const level = levelForPitch(levels, pitch, 4);
  let best: Alternation | null = null;
  let before: Alternation | null = null;
  for (let r = -REACH_PITCHES / ROW_PITCHES; r <= REACH_PITCHES / ROW_PITCHES; r++) {
    const grey: number[] = [];
    for (let k = first; k < last; k++) {
      grey.push(greyAt(level, strip.at(lattice.at(k + 0.5), r * ROW_PITCHES * pitch)));
    }
    const here = alternationOf(grey, LEAST_CONTRAST * contrast);
    // Blocks are higher than one row.
    if (here && before?.length === here.length && here.share > (best?.share ?? 0)) best = here;
    before = here;
  }
  return best;
}

function alternationOf(grey: readonly number[], leastContrast: number): Alternation | null {
  const n = grey.length;
  const mean = grey.reduce((a, b) => a + b, 0) / n;
  const total = grey.reduce((sum, v) => sum + (v - mean) ** 2, 0);
  if (!(total > 0)) return null; // flat, or partly outside the picture
  const shares = LENGTHS.filter((length) => n >= FEWEST_BLOCKS * length).map((length) => {
    let share = 0;
    let height = 0;
    for (let phase = 0; phase < length; phase++) {
      const [light, dark] = [
        [0, 0],
        [0, 0],
      ];
      grey.forEach((v, i) => {
        const side = Math.floor((i + phase) / length) & 1 ? light : dark;
        side[0]! += v;
        side[1]!++;
      });
      if (light[1] === 0 || dark[1] === 0) continue;
      const difference = light[0]! / light[1]! - dark[0]! / dark[1]!;
      const explained = ((light[1]! * dark[1]!) / n) * difference ** 2;
      if (explained / total > share) {
        share = explained / total;
        height = Math.abs(difference);
      }
    }
    return { length, share, height };
  });
  shares.sort((a, b) => b.share - a.share);
  const [best, next] = shares;
  if (!best || best.share < LEAST_SHARE || best.height < leastContrast) return null;
  if (best.share - (next?.share ?? 0) < LEAST_LEAD) return null;
  return { length: best.length, share: best.share };
}
