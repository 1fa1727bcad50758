/** What a person may say of the scale in a picture: how its finest marks are divided. */
export const SCALE_KINDS = [
  "mm",
  "half-mm",
  "cm",
  "inch-8",
  "inch-10",
  "inch-16",
  "inch-32",
  "blocks-1mm",
  "blocks-5mm",
  "blocks-10mm",
  "blocks-half-inch",
  "blocks-inch",
] as const;

export type ScaleKind = (typeof SCALE_KINDS)[number];
