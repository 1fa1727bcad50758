import type { SkinTone } from "./tone.ts";

/** The patient's skin. All that is on it is a function of the seed and the place in surface millimetres. */
export interface Skin {
  readonly tone: SkinTone;
  /** The patient: same seed, same skin, at every visit. */
  readonly seed: number;
  /** Hairs per cm². */
  readonly hairs: number;
  /** Moles and freckles: 0 none, 1 usual, 3 many. */
  readonly moles: number;
  /** Veins that shine through, 0 to 1. */
  readonly vessels: number;
}

export function standardSkin(overrides: Partial<Skin> = {}): Skin {
  return { tone: 2, seed: 1, hairs: 2, moles: 1, vessels: 0.5, ...overrides };
}
