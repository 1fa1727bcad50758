/** Digits and capitals, in the order of their check values; the last one is a check character only. */
const CHARACTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*";

/**
 * Check character by ISO/IEC 7064, MOD 37-2: finds every single wrong character and every exchange of two neighbours.
 * Null where the text holds anything but digits and capitals.
 * @source ISO7064
 */
export function checkCharacter(text: string): string | null {
  let sum = 0;
  for (const character of text) {
    const value = CHARACTERS.indexOf(character);
    if (value < 0 || value === 36) return null;
    sum = ((sum + value) * 2) % 37;
  }
  return CHARACTERS[(38 - sum) % 37] as string;
}
