import type { Rgb } from "../artwork/mark.ts";
import { type Lab, linearFromLab } from "../colour/colour.ts";

export type SkinTone = 1 | 2 | 3 | 4 | 5 | 6;

/**
 * Six skin colours (CIE Lab, D50), one in the middle of each class of the individual typology angle
 * ITA = atan((L - 50) / b): very light > 55°, light > 41°, intermediate > 28°, tan > 10°, brown > -30°, dark below.
 * @source Chardon1991 (the classes); the colours themselves are common practice, no source
 */
const TONES: Readonly<Record<SkinTone, Lab>> = {
  1: [70, 9.5, 13],
  2: [66.5, 11, 16],
  3: [61.5, 12.5, 17.5],
  4: [55.5, 13, 17.5],
  5: [44.5, 12.5, 16.5],
  6: [33.5, 9, 11],
};

export const skinLab = (tone: SkinTone): Lab => TONES[tone];

/** Individual typology angle in degrees. */
export const itaDeg = ([L, , b]: Lab): number => (Math.atan2(L - 50, b) * 180) / Math.PI;

export const skinRgb = (tone: SkinTone): Rgb => linearFromLab(TONES[tone]);

/** How strongly blood shows through and how far moles stand out: 1 on light skin, less on dark. */
export const bloodShow = (tone: SkinTone): number => [1, 0.95, 0.85, 0.7, 0.5, 0.38][tone - 1]!;
export const moleDepth = (tone: SkinTone): number => [0.75, 0.75, 0.75, 0.7, 0.6, 0.5][tone - 1]!;

/** Absorption of melanin and of blood in the three primaries, for factors exp(-k x amount). */
export const MELANIN: Rgb = [0.62, 1, 1.45];
export const BLOOD: Rgb = [0.28, 1.15, 0.95];
