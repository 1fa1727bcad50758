/** Whom the library has under a number, and whom somebody means by it. */
interface Identified {
  readonly name: string | null;
  /** YYYY-MM-DD. */
  readonly birthDate: string | null;
}

/**
 * Whether a second identifier agrees beside the number: the date of birth, or where there is none on either side the
 * name. Common practice, no source: two identifiers, never one.
 * @returns why it is not certain that they are one person; null: they are
 */
export function whyNotSame(number: string, known: Identified, said: Identified): string | null {
  const sameName = isSameName(known.name, said.name);
  if (known.birthDate === null || said.birthDate === null) {
    if (sameName) return null;
    return said.name === null
      ? `The number ${number} alone names nobody: say the date of birth, or the name, as well`
      : `The number ${number} is here under another name, and no date of birth tells whether it is the same person`;
  }
  if (known.birthDate === said.birthDate) return null;
  return `The number ${number} is here with another date of birth: two identifiers do not agree`;
}

/** Without case, accents and order of words: "NOVÁK, Jana" is "Jana Novak". */
export const isSameName = (one: string | null, other: string | null): boolean =>
  one !== null && other !== null && folded(one) === folded(other);

function folded(name: string): string {
  return name
    .normalize("NFD")
    .replace(/\p{M}/gu, "")
    .toLowerCase()
    .split(/[^\p{L}\p{N}]+/u)
    .filter((word) => word !== "")
    .sort()
    .join(" ");
}
