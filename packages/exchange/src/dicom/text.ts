import { SamescaleError } from "@samescale/errors";

/** Characters that a value representation holds at most. @source DicomPS3.5 table 6.2-1 */
const LIMITS = { SH: 16, LO: 64, PN: 64, ST: 1024, LT: 10_240 } as const;

/**
 * Free text as a value of DICOM: control characters become spaces, the backslash (which parts values) a slash, and what
 * is too long is cut at a whole character, with dots to say so.
 */
export function freeText(text: string, vr: keyof typeof LIMITS): string {
  const plain = text
    .toWellFormed()
    .replace(/[\p{Cc}\u2028\u2029]+/gu, " ")
    .replaceAll("\\", "/")
    .trim();
  const letters = [...plain];
  const limit = LIMITS[vr];
  // Some readers count bytes where the standard counts characters: a name is kept whole, other text is cut for them too.
  const lengthOf = (letter: string) => (vr === "PN" ? letter.length : Buffer.byteLength(letter));
  if (letters.reduce((sum, letter) => sum + lengthOf(letter), 0) <= limit) return plain;
  let length = 3;
  const fits = letters.filter((letter) => {
    length += lengthOf(letter);
    return length <= limit;
  });
  return `${fits.join("").trimEnd()}...`;
}

/**
 * A name that must be written as it is or not at all, such as a patient's number.
 * @throws SamescaleError DICOM_VALUE_NOT_WRITABLE
 */
export function exactText(text: string, vr: "SH" | "LO", what: string): string {
  if (freeText(text, vr) === text) return text;
  throw new SamescaleError(
    "DICOM_VALUE_NOT_WRITABLE",
    `The ${what} ${JSON.stringify(text.slice(0, 80))} cannot be written in DICOM: at most ${LIMITS[vr]} characters, no backslash, no control characters, no space at its ends`,
    `Correct the ${what}, or pass the pictures on in another form.`,
  );
}

/** A person's name; the parts are known, or it is one text. */
export interface PersonName {
  readonly text: string;
  readonly family?: string;
  readonly given?: string;
}

/**
 * A person's name in DICOM's order, family name first. Where the record holds one text only, that text stands as the
 * family name: which of its words is which is not guessed. @source DicomPS3.5 6.2.1
 */
export function personName({ text, family, given }: PersonName): string {
  const parts = family === undefined ? [text, ""] : [family, given ?? ""];
  const whole = parts.map((part) => part.replace(/[\^=]+/g, " ").trim()).join("^");
  return freeText(whole, "PN");
}

/** YYYY-MM-DD as DICOM writes days; empty where it is not known. */
export const dayText = (day: string | null): string =>
  day === null ? "" : day.slice(0, 10).replaceAll("-", "");

/** The time of day of YYYY-MM-DDTHH:MM:SS; empty where it is not known. */
export const timeText = (time: string | null): string =>
  time === null ? "" : time.slice(11, 19).replaceAll(":", "");

/** A number in the 16 characters that DICOM gives it. @source DicomPS3.5 table 6.2-1 (DS) */
export function decimalText(value: number): string {
  for (let digits = 15; digits > 0; digits--) {
    const text = String(Number(value.toPrecision(digits)));
    if (text.length <= 16) return text;
  }
  return "0";
}
