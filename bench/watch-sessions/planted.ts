/** One thing that is wrong with a frame, at twice the threshold of the starting practice. */
export type Planted =
  | "nothing"
  | "ratio"
  | "lean"
  | "scale height"
  | "focus"
  | "focus on the scale only"
  | "moved"
  | "too bright"
  | "too dark"
  | "cut off"
  | "creased cloth"
  | "turned against the baseline"
  | "aimed beside the baseline"
  | "light from another side"
  | "mirrored";

/** The finding by which each is told. */
export const FINDING: Readonly<Record<Exclude<Planted, "nothing">, string>> = {
  ratio: "ratio",
  lean: "lean",
  "scale height": "scale-plane",
  focus: "focus",
  "focus on the scale only": "focus",
  moved: "focus",
  "too bright": "exposure",
  "too dark": "exposure",
  "cut off": "framing",
  "creased cloth": "backdrop",
  "turned against the baseline": "roll",
  "aimed beside the baseline": "framing",
  "light from another side": "light",
  mirrored: "mirrored",
};
