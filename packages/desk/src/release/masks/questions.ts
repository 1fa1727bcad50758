import type { MaskKind } from "@samescale/picture";

/**
 * Asked of a person for every picture that leaves de-identified, whether something here looks for it or not.
 * @source IcmjeAma2011 (what identifies besides a face)
 */
export const MASK_QUESTIONS: Readonly<Record<Exclude<MaskKind, "other">, string>> = {
  face: "Is a face to be seen, or a part of one? Cover all of it, with hair and ears.",
  "other-person": "Is anybody else in the picture, also as a reflection or a hand?",
  tattoo: "Is there a tattoo, a piercing or body art?",
  mark: "Is there a scar or mole, besides what the picture is about, that people know them by?",
  jewellery: "Is there jewellery, a watch, spectacles, nail varnish?",
  clothing: "Are there clothes or things by which they could be known?",
  wristband: "Is a wristband to be seen?",
  label: "Is there a label with a name, number or code?",
  writing: "Is anything written that names a person, a place or a day?",
  screen: "Is a screen, a paper or a board to be seen?",
};
