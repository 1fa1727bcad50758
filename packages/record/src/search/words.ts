/** Letters that decomposition leaves whole although people type them without their stroke, or as two letters. */
const SPELT_OUT: Readonly<Record<string, string>> = {
  ß: "ss",
  æ: "ae",
  œ: "oe",
  ø: "o",
  đ: "d",
  ð: "d",
  ł: "l",
  ı: "i",
  þ: "th",
};
const LONGEST_WORD = 60;

/** Small letters without accents: Café and CAFE are the same to whoever looks for them. */
export function foldedText(text: string): string {
  return text
    .normalize("NFKD")
    .replace(/\p{M}/gu, "")
    .toLowerCase()
    .replace(/[ßæœøđðłıþ]/g, (letter) => SPELT_OUT[letter] ?? letter);
}

/** The words of a text, folded; whatever is neither letter nor digit sets them apart and is gone. */
export function wordsOf(text: string): string[] {
  return (foldedText(text).match(/[\p{L}\p{N}]+/gu) ?? []).map((word) =>
    [...word].slice(0, LONGEST_WORD).join(""),
  );
}

/** The words, and all of them in one: a number is typed with or without its spaces and hyphens. */
export function wordsOfNumber(text: string): string[] {
  const words = wordsOf(text);
  return words.length > 1 ? [...words, words.join("").slice(0, LONGEST_WORD)] : words;
}

/** Private use characters: no text of a person holds a word with them, so no word can pass for a facet. */
const FACET = "\uE000";
const THEN = "\uE001";

/** A facet's value as one word: chosen from a list, matched as a whole. */
export const facetTerm = (facet: string, value: string): string =>
  `${FACET}${facet}${THEN}${wordsOf(value).join(THEN).slice(0, 120)}`;
