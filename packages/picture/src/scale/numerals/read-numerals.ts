import type { GraduationRow } from "../edge/graduations.ts";
import type { Level } from "../search/pyramid.ts";
import { classify, shippedNetwork } from "./classifier.ts";
import { featuresOf, patchOf, type Turn } from "./features.ts";
import { letteringOf } from "./lettering.ts";
import { type Sequence, sequenceOf } from "./sequence.ts";
import { tokensOf, type UnitWord, unitWordOf } from "./tokens.ts";

/** What stands written beside a row of graduations. */
export interface NumeralReading {
  readonly sequence: Sequence | null;
  /** The unit named beside the numerals, and how sure its letters are, on average. */
  readonly word: { readonly unit: UnitWord; readonly probability: number } | null;
}

/** More marks than a scale carries: texture. */
const MOST_MARKS = 250;
const TURNS: readonly Turn[] = [0, 2, 1, 3];
/** A word is in the numerals' row: distance from it, and height, in heights of the numerals. */
const WORD_OFF_ROW = 0.8;
const WORD_HEIGHT = [0.35, 1.4] as const;
const LEAST_WORD = 0.7;

/**
 * Reads numerals and unit words to both sides of an edge, in whichever direction they are turned. Mirrored lettering is
 * looked for where none reads plainly.
 */
export function readNumerals(levels: readonly Level[], row: GraduationRow): NumeralReading {
  let best: NumeralReading = { sequence: null, word: null };
  for (const lettering of letteringOf(levels, row)) {
    const { marks } = lettering.marks;
    if (marks.length > MOST_MARKS) continue;
    const patches = marks.map((mark) => patchOf(lettering.flat, lettering.marks, mark));
    for (const mirrored of [false, true]) {
      for (const turn of TURNS) {
        const judged = marks.map((mark, i) => {
          return {
            mark,
            probabilities: classify(featuresOf(patches[i]!, mark, turn, mirrored), shippedNetwork()),
          };
        });
        const tokens = tokensOf(judged, turn, mirrored);
        const sequence = sequenceOf(tokens, turn, mirrored);
        if (!sequence || sequence.logOdds <= (best.sequence?.logOdds ?? 0)) continue;
        best = { sequence, word: wordBeside(sequence, tokens) };
      }
      if ((best.sequence?.logOdds ?? 0) > CLEAR) break;
    }
  }
  return best;
}

/** Beyond this no other way of turning would be believed. */
const CLEAR = 8;

function wordBeside(
  { tokens: [first] }: Sequence,
  tokens: ReturnType<typeof tokensOf>,
): NumeralReading["word"] {
  const words = tokens
    .map((token) => ({ token, unit: unitWordOf(token) }))
    .filter(({ token, unit }) => {
      const size = token.height / first!.height;
      const isNear = Math.abs(token.o - first!.o) < WORD_OFF_ROW * first!.height;
      return unit !== null && isNear && size > WORD_HEIGHT[0] && size < WORD_HEIGHT[1];
    })
    .map(({ token, unit }) => ({ unit, probability: token.probability ** (1 / token.characters.length) }))
    .sort((a, b) => b.probability - a.probability);
  const [word] = words;
  if (!word || word.probability < LEAST_WORD) return null;
  return { unit: word.unit!, probability: word.probability };
}
