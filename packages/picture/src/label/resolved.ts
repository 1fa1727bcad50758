import { BLOCK_PX, type Box } from "./printed-parts.ts";
import type { GreyBytes } from "./scanner.ts";

/** Cut off at both ends of a block's grey levels: noise, a speck. */
const TAIL = 0.03;
/**
 * Part of a block's pixels in the middle third between its dark and its light. Measured on rendered and drawn print:
 * numerals of a ruler 0.07 to 0.10, squares that only more pixels showed 0.18 to 0.58.
 */
const MOST_BETWEEN = 0.15;

/**
 * Whether print is drawn sharply all over a spot: dark and light with little between them. More pixels show nothing new
 * of it, and a symbol that sharp was read or is none; most of what remains are the numerals of scales.
 */
export function isResolved(picture: GreyBytes, spot: Box): boolean {
  // Without the margin, in which the edge of a sheet may lie.
  for (let y = spot.y0 + BLOCK_PX; y < spot.y1 - BLOCK_PX; y += BLOCK_PX) {
    for (let x = spot.x0 + BLOCK_PX; x < spot.x1 - BLOCK_PX; x += BLOCK_PX) {
      if (partBetween(picture, x, y) > MOST_BETWEEN) return false;
    }
  }
  return true;
}

function partBetween({ grey, widthPx, heightPx }: GreyBytes, x0: number, y0: number): number {
  const levels = new Uint16Array(256);
  let pixels = 0;
  for (let y = y0; y < Math.min(y0 + BLOCK_PX, heightPx); y++) {
    for (let x = x0; x < Math.min(x0 + BLOCK_PX, widthPx); x++, pixels++) levels[grey[y * widthPx + x]!]!++;
  }
  const dark = levelAt(levels, TAIL * pixels);
  const light = levelAt(levels, (1 - TAIL) * pixels);
  const third = (light - dark) / 3;
  let between = 0;
  for (let level = Math.ceil(dark + third); level <= light - third; level++) between += levels[level]!;
  return between / pixels;
}

/** The grey level up to which so many pixels lie. */
function levelAt(levels: Uint16Array, pixels: number): number {
  let level = 0;
  for (let below = levels[0]!; below < pixels; level++) below += levels[level + 1]!;
  return level;
}
