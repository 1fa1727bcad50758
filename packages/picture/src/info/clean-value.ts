/** Longer texts are cut: no tag that is read has a use for more. */
export const MAX_TEXT_LENGTH = 200;

// Control characters, invisible ones, and those that turn the direction of writing.
const UNPRINTABLE =
  /[\u0000-\u001f\u007f-\u009f\u00ad\u200b-\u200f\u2028-\u202e\u2060-\u2064\u2066-\u206f\ufeff\ufff9-\ufffb]/g;

/**
 * Text of a tag, fit to be shown: up to the first NUL, without control characters, trimmed, at most 200
 * characters. Null when nothing is left or the tag is no text. What was changed is told to `warn`.
 */
export function cleanText(value: unknown, what: string, warn: (said: string) => void): string | null {
  if (value === undefined) return null;
  if (typeof value !== "string") {
    warn(`${what}: expected text, received ${kindOf(value)}; not used.`);
    return null;
  }
  const upToNul = value.split("\0", 1)[0] ?? "";
  const printable = upToNul.replace(UNPRINTABLE, "").trim();
  if (printable.length < upToNul.trim().length) warn(`${what}: control characters removed.`);
  const letters = [...printable];
  const cut = letters.length > MAX_TEXT_LENGTH ? letters.slice(0, MAX_TEXT_LENGTH).join("") : printable;
  if (cut !== printable) warn(`${what}: cut to ${MAX_TEXT_LENGTH} of ${letters.length} characters.`);
  if (/[<>]/.test(cut)) warn(`${what}: holds markup characters.`);
  return cut === "" ? null : cut;
}

/**
 * Number of a tag that has to be above zero; zero, infinity and "not a number" mean unknown (Exif writes unknown
 * rationals as 0/0 or x/0). A list counts by its first value.
 */
export function positiveNumber(value: unknown, what: string, warn: (said: string) => void): number | null {
  const number = firstNumber(value, what, warn);
  return number !== null && Number.isFinite(number) && number > 0 ? number : null;
}

/** The first number of a tag, whatever it is; null when the tag holds none. */
export function firstNumber(value: unknown, what: string, warn: (said: string) => void): number | null {
  if (value === undefined) return null;
  const first = isNumberList(value) ? value[0] : value;
  if (typeof first === "number") return first;
  warn(`${what}: expected a number, received ${kindOf(value)}; not used.`);
  return null;
}

export const isNumberList = (value: unknown): value is ArrayLike<number> =>
  Array.isArray(value) || (ArrayBuffer.isView(value) && !(value instanceof DataView));

const kindOf = (value: unknown) =>
  isNumberList(value) ? "a list" : typeof value === "string" ? "text" : typeof value;
