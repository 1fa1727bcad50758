import { z } from "zod";
import { CHECKS, isCheckRight } from "./check-digits.ts";

/** Longer than any number in use; a pattern of a file must not become a burden. */
const LONGEST = 40;
/** Fewer free places would let chance texts pass for a patient's number. */
const LEAST_FREE = 4;
const CAPITAL = /^[A-Z]$/;
const DIGIT = /^[0-9]$/;

/**
 * How a department writes its patients' numbers. In the pattern `A` stands for a capital letter, `9` for a digit, what is
 * between single quotes for itself, as are space, hyphen, slash, point: `'HN'99999`, `AA999999`, `999 999 9999`.
 * Regular expressions are not taken: one in a file can keep a computer busy for ever.
 */
export const patientNumberFormatSchema = z.strictObject({
  name: z.string().min(1).max(60),
  pattern: z.string().superRefine((pattern, context) => {
    const fault = faultOf(pattern);
    if (fault !== null) context.addIssue({ code: "custom", message: fault });
  }),
  check: z.enum(CHECKS).default("none"),
});
export type PatientNumberFormat = z.output<typeof patientNumberFormatSchema>;

export interface FittingNumber {
  readonly format: string;
  readonly number: string;
  readonly check: "right" | "wrong" | "none";
}

/**
 * The text as a patient's number: by the first format that it fits with a right or no check digit; else by the first
 * that it fits at all, with `check: "wrong"`; null when it fits none.
 */
export function patientNumberOf(text: string, formats: readonly PatientNumberFormat[]): FittingNumber | null {
  const fitting = formats
    .filter(({ pattern }) => fits(text, pattern))
    .map(({ name, check }): FittingNumber => {
      const isRight = isCheckRight(check, text);
      return { format: name, number: text, check: isRight === null ? "none" : isRight ? "right" : "wrong" };
    });
  return fitting.find(({ check }) => check !== "wrong") ?? fitting[0] ?? null;
}

interface Place {
  readonly kind: "letter" | "digit" | "fixed";
  /** Of a fixed place. */
  readonly character: string;
}

function fits(text: string, pattern: string): boolean {
  const places = placesOf(pattern);
  if (places === null || text.length !== places.length) return false;
  return places.every((place, i) => {
    const character = text[i] as string;
    if (place.kind === "letter") return CAPITAL.test(character);
    if (place.kind === "digit") return DIGIT.test(character);
    return character === place.character;
  });
}

/** Null: it is no pattern. */
function placesOf(pattern: string): Place[] | null {
  const places: Place[] = [];
  let isQuoted = false;
  for (const character of pattern) {
    if (character === "'") isQuoted = !isQuoted;
    else if (isQuoted || " -/.".includes(character)) places.push({ kind: "fixed", character });
    else if (character === "A") places.push({ kind: "letter", character });
    else if (character === "9") places.push({ kind: "digit", character });
    else return null;
  }
  return isQuoted ? null : places;
}

function faultOf(pattern: string): string | null {
  const places = placesOf(pattern);
  if (places === null) {
    return `expected A for a letter, 9 for a digit, 'quoted' for itself, space - / . as they are; received "${pattern}"`;
  }
  if (places.length > LONGEST) return `expected at most ${LONGEST} places, received ${places.length}`;
  const free = places.filter(({ kind }) => kind !== "fixed").length;
  return free >= LEAST_FREE ? null : `expected at least ${LEAST_FREE} places with A or 9, received ${free}`;
}
