import type { Mark, Ring } from "../artwork/mark.ts";
import type { SkinTone } from "../skin/tone.ts";
import { handArt } from "./hand.ts";
import { heelArt } from "./heel.ts";
import { limbArt } from "./limb.ts";
import { portraitArt } from "./portrait.ts";

/**
 * The outline of the part of the body that is in the picture, in surface millimetres; stylised. The geometry stays
 * that of the scene's surface: roundness is drawn by shading only, so that the truth holds.
 */
export type Body =
  /** A leg, an arm or a trunk that runs through the picture. */
  | { readonly shape: "limb"; readonly widthMm: number; readonly axisDeg: number }
  | { readonly shape: "hand"; readonly side: "left" | "right"; readonly aspect: "dorsal" | "palmar" }
  | { readonly shape: "heel" }
  /** A drawn head and shoulders, not a likeness. */
  | { readonly shape: "portrait"; readonly seed: number };

export interface BodyArt {
  /** May overlap; together they are the body. */
  readonly outline: readonly Ring[];
  /** What is rounded by shading, when that is more than the skin: clothes. */
  readonly rounded?: readonly Ring[];
  /** How far from the edge the surface curves away. */
  readonly roundMm: number;
  readonly details: readonly Mark[];
  /** Marks that lie beyond the skin as well: hair, clothes. */
  readonly over: readonly Mark[];
}

export function bodyArt(body: Body, tone: SkinTone): BodyArt {
  switch (body.shape) {
    case "limb":
      return limbArt(body.widthMm, body.axisDeg);
    case "hand":
      return handArt(body.side, body.aspect, tone);
    case "heel":
      return heelArt(tone);
    case "portrait":
      return portraitArt(body.seed, tone);
  }
}
