import type { Quadrangle } from "./quadrangle.ts";
import type { GreyBytes } from "./scanner.ts";

/** Narrow bars in an ITF symbol: start and stop, and two wide among five bars for each digit. */
const NARROW_BARS_ENDS = 8.5;
const NARROW_BARS_A_DIGIT = 8;
/** The blank beside a symbol that is looked at; it has ten by the standard, and blur eats one. */
const BLANK_FROM = 1.5;
const BLANK_TO = 6;
/** Paper and noise vary by less than this part of what bars do. */
const BLANK_VARIES = 0.35;

/**
 * Whether the bars end where the text does: beside both ends of an ITF symbol in a crop turned straight, there is blank
 * paper and no further bar. A reading that began and ended inside a longer symbol is found out by that.
 *
 * @param corners of the reading, in the crop
 * @source ISO16390 (quiet zones of ten narrow bars)
 */
export function endsInBlank(crop: GreyBytes, corners: Quadrangle, digits: number): boolean {
  const left = Math.min(...corners.map(([x]) => x));
  const right = Math.max(...corners.map(([x]) => x));
  const narrowPx = (right - left) / (NARROW_BARS_ENDS + NARROW_BARS_A_DIGIT * digits);
  const middle = (corners[0][1] + corners[1][1] + corners[2][1] + corners[3][1]) / 4;
  const inside = rangeOf(crop, left, right, middle);
  const beside = [
    rangeOf(crop, left - BLANK_TO * narrowPx, left - BLANK_FROM * narrowPx, middle),
    rangeOf(crop, right + BLANK_FROM * narrowPx, right + BLANK_TO * narrowPx, middle),
  ];
  return beside.every((range) => range <= BLANK_VARIES * inside);
}

/** Greatest less least of the columns' means, over a few rows about the middle. */
function rangeOf({ grey, widthPx, heightPx }: GreyBytes, from: number, to: number, middle: number): number {
  const y0 = Math.max(0, Math.round(middle) - 3);
  const y1 = Math.min(heightPx, y0 + 7);
  let least = 255;
  let greatest = 0;
  for (let x = Math.max(0, Math.round(from)); x < Math.min(widthPx, Math.round(to)); x++) {
    let sum = 0;
    for (let y = y0; y < y1; y++) sum += grey[y * widthPx + x]!;
    least = Math.min(least, sum / (y1 - y0));
    greatest = Math.max(greatest, sum / (y1 - y0));
  }
  return Math.max(0, greatest - least);
}
