import { z } from "zod";

/** In so many words: the department decided that one copy is enough. */
const ONE_COPY = "none";

/** A folder on another disk, or `none`; without a word a card is never said to be free. */
export const secondPlaceSchema = z
  .string()
  .min(1)
  .max(1000)
  .refine((text) => text.trim() === text && !/\p{Cc}/u.test(text), "expected the path of a folder, or none");

/** Where every original is kept a second time, as the practice says. */
export type SecondPlace =
  | { readonly is: "folder"; readonly path: string }
  | { readonly is: "one copy is enough" }
  | { readonly is: "not said" };

/** What the practice says of a second place. */
export function secondPlaceOf(rules: { readonly secondPlace?: string | undefined }): SecondPlace {
  if (rules.secondPlace === undefined) return { is: "not said" };
  if (rules.secondPlace === ONE_COPY) return { is: "one copy is enough" };
  return { is: "folder", path: rules.secondPlace };
}
