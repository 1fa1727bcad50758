import { checkCharacter } from "@samescale/marker";

/** Published schemes by which a number shows that it was copied right. */
export const CHECKS = ["none", "mod10", "mod11", "mod97-10", "mod37-2"] as const;
export type Check = (typeof CHECKS)[number];

/** Whether a number's last digits or letters are those that the rest of it asks for. Null: it has none. */
export function isCheckRight(check: Check, number: string): boolean | null {
  const characters = number.replace(/[^0-9A-Z]/g, "");
  const digits = number.replace(/[^0-9]/g, "");
  switch (check) {
    case "none":
      return null;
    case "mod10":
      return digits.length > 1 && digits.endsWith(mod10Digit(digits.slice(0, -1)));
    case "mod11":
      return digits.length > 1 && mod11Digit(digits.slice(0, -1)) === digits.at(-1);
    case "mod97-10":
      return characters.length > 2 && remainder97(characters) === 1;
    case "mod37-2":
      return characters.length > 1 && checkCharacter(characters.slice(0, -1)) === characters.at(-1);
  }
}

/**
 * Weights 3 and 1 in turn from the right; up to the next ten.
 * @source Gs1GenSpecs, section 7.9
 */
function mod10Digit(body: string): string {
  const sum = [...body]
    .reverse()
    .reduce((total, digit, i) => total + Number(digit) * (i % 2 === 0 ? 3 : 1), 0);
  return String((10 - (sum % 10)) % 10);
}

/**
 * Weights that fall to 2 at the last digit of the body, so 10 to 2 for nine digits; 11 less the remainder, 11 as 0; a
 * body that would need 10 is not given out.
 * @source NhsNumber
 */
function mod11Digit(body: string): string | null {
  const sum = [...body].reduce((total, digit, i) => total + Number(digit) * (body.length + 1 - i), 0);
  const digit = (11 - (sum % 11)) % 11;
  return digit === 10 ? null : String(digit);
}

/**
 * The whole, letters as 10 to 35, leaves 1 when divided by 97.
 * @source ISO7064
 */
function remainder97(characters: string): number {
  let rest = 0;
  for (const character of characters) {
    const value = Number.parseInt(character, 36);
    rest = (rest * (value > 9 ? 100 : 10) + value) % 97;
  }
  return rest;
}
