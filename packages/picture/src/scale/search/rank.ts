import type { Peak } from "./peaks.ts";
import { TILE } from "./tile-spectrum.ts";

/** A peak and the middle of its tile. */
export interface Found extends Peak {
  readonly x: number;
  readonly y: number;
}

/** Tiles whose neighbours are looked for: more are texture, and pairs grow with the square. */
const MOST_COMPARED = 1500;
/** Cosine of 5 degrees, and 7 %. */
const SAME_DIRECTION = 0.9962;
const SAME_PITCH = Math.exp(0.07);

/** The best of each line, best first: neighbours on the same line with the same pitch speak for a tile. */
export function ranked(all: readonly Found[], most: number): (Found & { readonly rank: number })[] {
  const strongest =
    all.length <= MOST_COMPARED
      ? all
      : [...all].sort((a, b) => b.comb * b.share - a.comb * a.share).slice(0, MOST_COMPARED);
  const found = [...strongest].sort((a, b) => a.pitchPx - b.pitchPx);
  const support = new Float64Array(found.length);
  for (let i = 0, first = 0; i < found.length; i++) {
    const a = found[i]!;
    support[i]! += a.comb;
    while (found[first]!.pitchPx * SAME_PITCH < a.pitchPx) first++;
    for (let j = first; j < i; j++) {
      const b = found[j]!;
      if (onOneLine(a, b)) support[i]! += b.comb;
      if (onOneLine(b, a)) support[j]! += a.comb;
    }
  }
  const order = found
    .map((tile, i) => ({ ...tile, rank: tile.comb * support[i]! * Math.sqrt(tile.share) }))
    .sort((a, b) => b.rank - a.rank);
  const chosen: (Found & { readonly rank: number })[] = [];
  for (const tile of order) {
    if (chosen.length >= most) break;
    if (chosen.every((c) => !(samePitch(c, tile) && onOneLine(c, tile)))) chosen.push(tile);
  }
  return chosen;
}

function samePitch(a: Found, b: Found): boolean {
  return a.pitchPx < b.pitchPx * SAME_PITCH && b.pitchPx < a.pitchPx * SAME_PITCH;
}

/** Same direction and, seen from `a`, on one line within half a tile. */
function onOneLine(a: Found, b: Found): boolean {
  if (Math.abs(a.ux * b.ux + a.uy * b.uy) < SAME_DIRECTION) return false;
  const across = Math.abs((b.x - a.x) * -a.uy + (b.y - a.y) * a.ux);
  const along = Math.abs((b.x - a.x) * a.ux + (b.y - a.y) * a.uy);
  return across <= TILE / 2 + 0.05 * along;
}
