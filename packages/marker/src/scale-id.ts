import { checkCharacter } from "./check-character.ts";

/** What our own printable scales come as. */
export const MARKER_KINDS = ["straight-50", "straight-150", "l", "label"] as const;
export type MarkerKind = (typeof MARKER_KINDS)[number];

/** A scale's id, such as `B7KM3TQ9`: a letter for its kind, six characters, a check character. */
export type ScaleId = string & { readonly __scaleId: true };

/** What the code on a scale holds before its id: names the scheme and its version. Label frames have `SR1:`. */
const SCHEME = "SS1:";

const LETTER_OF_KIND: Readonly<Record<MarkerKind, string>> = {
  "straight-50": "A",
  "straight-150": "B",
  l: "C",
  label: "D",
};

/** Without what is taken for something else in print (0 O, 1 I L, Y V) and without vowels, so that no word comes about. */
const DRAWN_FROM = "23456789BCDFGHJKMNPQRSTVWXZ";
const SERIAL_LENGTH = 6;

/** A new id for a scale of this kind: one of some 250 million. `random` gives numbers from 0 to below 1. */
export function newScaleId(kind: MarkerKind, random: () => number): ScaleId {
  const drawn = Array.from({ length: SERIAL_LENGTH }, () => Math.floor(random() * DRAWN_FROM.length));
  for (;;) {
    const text = LETTER_OF_KIND[kind] + drawn.map((i) => DRAWN_FROM[i]).join("");
    const check = checkCharacter(text) as string;
    if (DRAWN_FROM.includes(check)) return (text + check) as ScaleId;
    // Every last character has another check character, so that a clear one comes soon.
    drawn.push(((drawn.pop() as number) + 1) % DRAWN_FROM.length);
  }
}

/**
 * The id that a person typed, in capitals and without blanks or hyphens, and the kind that it stands for; null when it
 * is none or a character of it is wrong.
 */
export function parseScaleId(text: string): { readonly id: ScaleId; readonly kind: MarkerKind } | null {
  const id = text.length > 40 ? "" : text.replace(/[\s-]/g, "").toUpperCase();
  if (!FORM.test(id) || checkCharacter(id.slice(0, -1)) !== id.at(-1)) return null;
  const kind = MARKER_KINDS.find((one) => LETTER_OF_KIND[one] === id[0]) as MarkerKind;
  return { id: id as ScaleId, kind };
}

const FORM = new RegExp(`^[A-D][${DRAWN_FROM}]{${SERIAL_LENGTH + 1}}$`);

/** What the code on a scale holds. */
export const codeTextOf = (id: ScaleId): string => SCHEME + id;

/** The scale that a code read in a picture belongs to; null for any other code. Exact: a code is not typed. */
export function scaleOfCode(text: string): { readonly id: ScaleId; readonly kind: MarkerKind } | null {
  if (!text.startsWith(SCHEME)) return null;
  const parsed = parseScaleId(text.slice(SCHEME.length));
  return parsed?.id === text.slice(SCHEME.length) ? parsed : null;
}
