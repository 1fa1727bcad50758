import type { Turn } from "./features.ts";
import { numberOf, type Token } from "./tokens.ts";

/** Numerals that grow evenly along the graduations. */
export interface Sequence {
  /** Growth of the numeral from one graduation to the next; negative when they fall with the number. */
  readonly perGraduation: number;
  /** Greatest number that divides every difference: 10 where 10, 20, 30 stand. */
  readonly step: number;
  /** The tokens that follow it, in the order of the graduations. */
  readonly tokens: readonly {
    readonly k: number;
    readonly o: number;
    readonly value: number;
    readonly height: number;
  }[];
  /** Natural logarithm of how much likelier the tokens are with it than without. */
  readonly logOdds: number;
  readonly turn: Turn;
  readonly mirrored: boolean;
}

/**
 * How much the numeral grows, over how many graduations: everything that scales carry. Not over four: centimetres beside
 * tenths of an inch stand 3.94 of them apart.
 */
const GROWTHS = [
  [1, 1],
  [10, 1],
  [5, 1],
  [2, 1],
  [1, 2],
  [1, 5],
  [1, 8],
  [1, 10],
  [1, 16],
  [1, 20],
  [1, 32],
].map(([grows, over]) => grows! / over!);

/** Numerals stand on their graduations to this part of a graduation, or of their own height when that is more. */
const OFF_GRADUATION = 0.4;
const OFF_HEIGHT = 0.45;
/** Numerals of one row are alike: heights and distance from the graduations, in heights. */
const LIKE_HEIGHT = 1.25;
const OFF_LINE = 0.4;
/** Numerals of a scale start at 0 and seldom pass this. */
const PLAUSIBLE = 300;
/** Chance that a mark which is none of the row's says the right digit; upright strokes are everywhere. */
const chanceOf = (digit: string) => (digit === "1" ? 0.5 : 0.1);

/** The likeliest even growth among tokens read in one turn; null when no two agree. */
export function sequenceOf(tokens: readonly Token[], turn: Turn, mirrored: boolean): Sequence | null {
  const numbers = tokens
    .map((token) => ({ token, value: numberOf(token) }))
    .filter((n): n is Numbered => n.value !== null && n.value <= PLAUSIBLE);
  let best: Sequence | null = null;
  for (const anchor of numbers) {
    const row = numbers.filter((n) => sameRow(anchor.token, n.token));
    if (row.length < 2) continue;
    for (const growth of GROWTHS) {
      for (const perGraduation of [growth, -growth]) {
        const found = followed(row, anchor, perGraduation, turn, mirrored);
        if (found && found.logOdds > (best?.logOdds ?? 0)) best = found;
      }
    }
  }
  return best;
}

interface Numbered {
  readonly token: Token;
  readonly value: number;
}

function sameRow(a: Token, b: Token): boolean {
  const height = Math.max(a.height, b.height);
  return height / Math.min(a.height, b.height) < LIKE_HEIGHT && Math.abs(a.o - b.o) < OFF_LINE * height;
}

function followed(
  row: readonly Numbered[],
  anchor: Numbered,
  perGraduation: number,
  turn: Turn,
  mirrored: boolean,
): Sequence | null {
  const agreeing = new Map<number, Numbered>();
  let logOdds = 0;
  for (const one of row) {
    // Where its own value belongs, against where it stands.
    const off = one.token.k - anchor.token.k - (one.value - anchor.value) / perGraduation;
    if (Math.abs(off) <= Math.max(OFF_GRADUATION, OFF_HEIGHT * one.token.height)) {
      if (agreeing.has(one.value)) continue;
      agreeing.set(one.value, one);
      if (one === anchor) continue;
      const chance = one.token.characters.reduce((p, digit) => p * chanceOf(digit), 1);
      logOdds += Math.max(0, Math.log(one.token.probability / chance));
    } else {
      // A number that contradicts: a misread one, or the row is no such row.
      logOdds -= Math.min(3, -Math.log(Math.max(1e-3, 1 - 0.9 * one.token.probability)));
    }
  }
  if (agreeing.size < 2) return null;
  const sorted = [...agreeing.values()].sort((a, b) => a.token.k - b.token.k);
  const values = sorted.map((n) => n.value);
  const step = values.slice(1).reduce((g, v, i) => gcd(g, Math.abs(v - values[i]!)), 0);
  return {
    perGraduation,
    step,
    tokens: sorted.map(({ token, value }) => ({ k: token.k, o: token.o, value, height: token.height })),
    logOdds,
    turn,
    mirrored,
  };
}

const gcd = (a: number, b: number): number => (b === 0 ? a : gcd(b, a % b));
