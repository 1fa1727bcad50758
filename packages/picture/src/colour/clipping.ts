import type { Clipping } from "../colour-answers.ts";
import type { UprightPicture } from "../decode/picture.ts";
import { type Correction, corrected } from "./correction.ts";

/** JPEG brings a burnt-out 255 to 254, and a true black to 1. */
export const BURNT_OUT = 254;
export const BLACK = 1;

/** Enough pixels for a share to a tenth of a percent. */
const MOST_PIXELS = 400_000;

/** Shares of pixels that have lost a channel at the top, or all three at the bottom. */
export function clippingOf({ rgb }: UprightPicture): Clipping {
  let [burnt, black, seen] = [0, 0, 0];
  forSome(rgb, (r, g, b) => {
    seen++;
    if (Math.max(r, g, b) >= BURNT_OUT) burnt++;
    if (Math.max(r, g, b) <= BLACK) black++;
  });
  return { burntOut: burnt / seen, black: black / seen };
}

/** Share of pixels that the correction itself would burn out. */
export function burntByCorrection({ rgb }: UprightPicture, correction: Correction): number {
  let [burnt, seen] = [0, 0];
  forSome(rgb, (r, g, b) => {
    seen++;
    if (Math.max(r, g, b) >= BURNT_OUT) return;
    if (Math.max(...corrected(correction, [r / 255, g / 255, b / 255])) > 1) burnt++;
  });
  return burnt / seen;
}

function forSome(rgb: Uint8Array, what: (r: number, g: number, b: number) => void): void {
  const step = 3 * Math.max(1, Math.round(rgb.length / 3 / MOST_PIXELS));
  for (let i = 0; i + 2 < rgb.length; i += step) what(rgb[i]!, rgb[i + 1]!, rgb[i + 2]!);
}
