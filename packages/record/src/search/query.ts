import { keysOfDay } from "./key.ts";
import type { TermsWanted } from "./word-index.ts";
import { facetTerm, wordsOf } from "./words.ts";

/** A text as a person types it, taken apart. */
export interface TypedQuery {
  readonly words: readonly string[];
  /** Days and months among the words, YYYY-MM-DD or YYYY-MM; all of one month is a range of days. */
  readonly days: readonly DayRange[];
}

interface DayRange {
  /** As it was typed. */
  readonly text: string;
  readonly from: string;
  readonly until: string;
}

const MOST_CHARACTERS = 300;
const MOST_WORDS = 12;
const DAY_OR_MONTH = /(?<![\p{L}\p{N}-])(\d{4})-(\d\d)(?:-(\d\d))?(?![\p{L}\p{N}-])/gu;

/**
 * Words and days of a text. Nothing of it is ever put into a query as it is: a word is letters and digits and nothing
 * else, so quotes, operators and control characters are gone before a database sees it.
 */
export function typedQuery(text: string): TypedQuery {
  const days: DayRange[] = [];
  const rest = text.slice(0, MOST_CHARACTERS).replace(DAY_OR_MONTH, (all, year, month, day) => {
    const range = rangeOf(all, year, month, day);
    if (range === null) return all;
    days.push(range);
    return " ";
  });
  return { words: [...new Set(wordsOf(rest))].slice(0, MOST_WORDS), days };
}

function rangeOf(text: string, year: string, month: string, day: string | undefined): DayRange | null {
  const from = `${year}-${month}-${day ?? "01"}`;
  const first = new Date(`${from}T00:00:00Z`);
  if (Number.isNaN(first.getTime()) || !first.toISOString().startsWith(from)) return null;
  if (day !== undefined) return { text, from, until: from };
  const last = new Date(Date.UTC(first.getUTCFullYear(), first.getUTCMonth() + 1, 0));
  return { text, from, until: last.toISOString().slice(0, 10) };
}

/** Words of which the text holds the beginning; single letters stand for themselves. */
export const wordsWanted = (words: readonly string[]): TermsWanted =>
  words.map((term) => [{ term, isBeginning: [...term].length > 1 }]);

/** Any of these values of a facet. */
export const facetWanted = (facet: string, values: readonly string[]): TermsWanted[number] =>
  values.map((value) => ({ term: facetTerm(facet, value), isBeginning: false }));

/** Keys of all these days at once: of several ranges, what they share. */
export function keysOfDays(days: readonly Pick<DayRange, "from" | "until">[]): {
  readonly from: number;
  readonly until: number;
} {
  let from = 0;
  let until = Number.MAX_SAFE_INTEGER;
  for (const range of days) {
    from = Math.max(from, keysOfDay(range.from).from);
    until = Math.min(until, keysOfDay(range.until).until);
  }
  return { from, until };
}
