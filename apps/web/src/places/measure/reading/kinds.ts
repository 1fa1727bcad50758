/** What may be said of a scale, in the order in which it is likely. */
export const SCALE_KINDS_SHOWN = [
  "mm",
  "half-mm",
  "cm",
  "inch-16",
  "inch-8",
  "inch-10",
  "inch-32",
  "blocks-10mm",
  "blocks-5mm",
  "blocks-1mm",
  "blocks-inch",
  "blocks-half-inch",
] as const;

/** Tried where the picture does not tell the unit: those of nearly every scale. */
export const KINDS_TRIED = ["mm", "cm", "inch-16", "inch-10", "blocks-10mm"] as const;
