import { SENSITIVE_CATEGORIES, type SensitiveCategory } from "@samescale/desk";
import { CommandFailure } from "./failure.ts";

/** As the help of an option lists them. */
export const CATEGORIES_SAID = SENSITIVE_CATEGORIES.join(", ");

/** Parser for an option that takes sensitive categories set apart by commas, or nothing. */
export const categories =
  (flag: string) =>
  (text: string): SensitiveCategory[] => {
    const words = text === "nothing" ? [] : text.split(",");
    if (words.every(isCategory)) return words;
    throw CommandFailure.badArguments(
      `${flag}: expected some of ${CATEGORIES_SAID}, or nothing; received "${text}"`,
      `Type for example ${flag} child,safeguarding.`,
    );
  };

const isCategory = (word: string): word is SensitiveCategory =>
  (SENSITIVE_CATEGORIES as readonly string[]).includes(word);
