/** What a scale is made of, as far as it says how true its length is. */
export const SCALE_MATERIALS = [
  "printed-paper",
  "adhesive-label",
  "rigid-print",
  "class-1",
  "class-2",
  "class-3",
] as const;
export type ScaleMaterial = (typeof SCALE_MATERIALS)[number];

/**
 * Standard uncertainty of a scale's own length, relative, where nobody says what it is: a rigid print of some
 * 60 mm. Paper that nobody measured is worse: say so, or measure it.
 */
export const SCALE_TOLERANCE_U = 0.001;

/** Half-widths of 95 %, relative. Assumed: no source was found for office printers, nor for labels on skin. */
const ASSUMED_U95 = { "printed-paper": 0.005, "adhesive-label": 0.01 } as const;

/**
 * How far two marks may be from their distance, mm, up to a metre: rigid scales for photographs are asked to keep each
 * mark to 0.1 mm, and were found well within that; material measures by their class, a + b (1 m).
 * @source Ferrucci2013
 * @source SI2016-1153
 */
const MOST_ERROR_MM = {
  "rigid-print": 0.1 * Math.SQRT2,
  "class-1": 0.2,
  "class-2": 0.5,
  "class-3": 1,
} as const;

/**
 * Standard uncertainty of the length of the part that was read, relative.
 * @param coverageMm length of that part: the longer, the less a mark's error counts
 */
export function toleranceU(material: ScaleMaterial | undefined, coverageMm: number): number {
  if (!material) return SCALE_TOLERANCE_U;
  if (material === "printed-paper" || material === "adhesive-label") return ASSUMED_U95[material] / 2;
  // Every error within the limit alike.
  return MOST_ERROR_MM[material] / Math.sqrt(3) / coverageMm;
}
