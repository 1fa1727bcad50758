import type { Character } from "./classifier.ts";
import { CHARACTERS } from "./classifier.ts";
import type { Turn } from "./features.ts";
import type { InkMark } from "./marks.ts";

/** A mark with what it may be, for one way of turning the lettering. */
export interface JudgedMark {
  readonly mark: InkMark;
  /** Probability per character and, last, of none. */
  readonly probabilities: Float32Array;
}

/** Characters that stand together in reading order. */
export interface Token {
  /** The middle of its box. */
  readonly k: number;
  readonly o: number;
  /** Height of its characters, in graduations. */
  readonly height: number;
  readonly characters: readonly Character[];
  /** That all characters are what they are read as. */
  readonly probability: number;
}

/** Characters of one token: their heights, how far from one line they stand, the space between, in heights. */
const LIKE_HEIGHT = 1.25;
const OFF_LINE = 0.25;
const WIDEST_SPACE = 0.45;
/** Small letters stand beside taller ones. */
const LIKE_HEIGHT_WORD = 1.75;
const LEAST_PROBABILITY = 0.4;
const LONGEST = 6;

/**
 * Groups marks into tokens along the reading direction of a turn. Marks that are no characters are left out, but
 * part nothing.
 */
export function tokensOf(judged: readonly JudgedMark[], turn: Turn, mirrored: boolean): Token[] {
  const characters = judged.map((j) => characterOf(j, turn, mirrored)).filter((c) => c !== null);
  characters.sort((a, b) => a.u - b.u);
  const tokens: Token[] = [];
  const taken = new Set<Placed>();
  for (const first of characters) {
    if (taken.has(first)) continue;
    const run = [first];
    taken.add(first);
    for (;;) {
      const last = run.at(-1)!;
      const next = characters.find((c) => !taken.has(c) && follows(last, c));
      if (!next || run.length >= LONGEST) break;
      run.push(next);
      taken.add(next);
    }
    tokens.push(tokenOf(run));
  }
  return tokens;
}

interface Placed {
  readonly mark: InkMark;
  readonly character: Character;
  readonly probability: number;
  /** Middle along the reading direction and downwards, extents. */
  readonly u: number;
  readonly v: number;
  readonly width: number;
  readonly height: number;
}

function characterOf({ mark, probabilities }: JudgedMark, turn: Turn, mirrored: boolean): Placed | null {
  let best = 0;
  for (let i = 1; i < probabilities.length; i++) if (probabilities[i]! > probabilities[best]!) best = i;
  const character = CHARACTERS[best];
  if (!character || probabilities[best]! < LEAST_PROBABILITY) return null;
  const flat = turn % 2 === 0;
  const sense = (turn < 2 ? 1 : -1) * (mirrored ? -1 : 1);
  return {
    mark,
    character,
    probability: probabilities[best]!,
    u: sense * (flat ? mark.k : mark.o),
    v: flat ? mark.o : mark.k,
    width: flat ? mark.along : mark.across,
    height: flat ? mark.across : mark.along,
  };
}

function follows(a: Placed, b: Placed): boolean {
  const height = Math.max(a.height, b.height);
  const letters = isLetter(a) || isLetter(b);
  const alike = height / Math.min(a.height, b.height) < (letters ? LIKE_HEIGHT_WORD : LIKE_HEIGHT);
  // Letters of different height share the line that they stand on, not their middles.
  const off = letters
    ? Math.min(
        Math.abs(a.v + a.height / 2 - b.v - b.height / 2),
        Math.abs(a.v - a.height / 2 - b.v + b.height / 2),
      )
    : Math.abs(a.v - b.v);
  const space = b.u - b.width / 2 - (a.u + a.width / 2);
  return alike && off < OFF_LINE * height && space < WIDEST_SPACE * height && space > -0.3 * height;
}

const isLetter = ({ character }: Placed) => character < "0" || character > "9";

function tokenOf(run: readonly Placed[]): Token {
  const boxes = run.map(({ mark }) => mark);
  const middle = (low: (m: InkMark) => number, high: (m: InkMark) => number) =>
    (Math.min(...boxes.map(low)) + Math.max(...boxes.map(high))) / 2;
  return {
    k: middle(
      (m) => m.k - m.along / 2,
      (m) => m.k + m.along / 2,
    ),
    o: middle(
      (m) => m.o - m.across / 2,
      (m) => m.o + m.across / 2,
    ),
    height: Math.max(...run.map((c) => c.height)),
    characters: run.map((c) => c.character),
    probability: run.reduce((p, c) => p * c.probability, 1),
  };
}

/** The number that a token says, null for words. */
export function numberOf({ characters }: Token): number | null {
  const text = characters.join("");
  return /^\d{1,4}$/.test(text) ? Number(text) : null;
}

export type UnitWord = "mm" | "cm" | "inch";

/** The unit that a token names; an upright stroke is an i. */
export function unitWordOf({ characters }: Token): UnitWord | null {
  const text = characters.join("");
  if (/^(cm|cM)$/.test(text)) return "cm";
  if (/^(mm|MM)$/.test(text)) return "mm";
  if (/^1(n|N)(c(h|H)?)?$/.test(text)) return "inch";
  return null;
}
