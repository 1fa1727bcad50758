import type { ThingTruth } from "../../truth/truth.ts";
import type { ScaleKind } from "./scale-kinds.ts";

/**
 * Whether a person who knows every kind of scale could tell the unit from what is in the picture. Tens of an inch look
 * like millimetres unless a word is read; bars or blocks of one size say nothing without numerals.
 */
export function unitTold(
  kind: ScaleKind,
  truth: ThingTruth,
  picture: { readonly widthPx: number; readonly heightPx: number },
): boolean {
  const seen = truth.edges
    .flatMap((e) => e.characters)
    .filter(({ px: [x, y] }) => x > 0 && y > 0 && x < picture.widthPx && y < picture.heightPx)
    .map((c) => c.character);
  const word = seen.some((c) => /[a-z]/.test(c));
  const digits = seen.filter((c) => /\d/.test(c)).length;
  switch (kind) {
    case "inch/10":
    case "cm only":
      return word;
    case "mm equal":
    case "inch/8":
      return word || digits >= 2;
    case "blocks": {
      // "10 20 30" beside blocks can only be millimetres; "1 2 3" may be inches.
      const blocks = truth.edges[0]!.ticks.filter((t) => t.inPicture).length;
      return word || digits >= 1.5 * blocks;
    }
    default:
      return true;
  }
}
