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

/** A scale's own length, in pixels of its level, and more: what lies further away says nothing of a tile. */
const REACH_PX = 300;
/** Cloth and the blocks of a JPEG repeat in one direction all over a picture: so many lines of one sort are enough. */
const MOST_OF_A_SORT = 4;

/**
 * The best of each line, best first: neighbours on the same line with the same pitch speak for a tile, by how far their
 * peaks stand out of the texture.
 */
export function ranked(all: readonly Found[], most: number): (Found & { readonly rank: number })[] {
  const strongest =
    all.length <= MOST_COMPARED
      ? all
      : [...all].sort((a, b) => weight(b) - weight(a)).slice(0, MOST_COMPARED);
  const found = [...strongest].sort((a, b) => a.pitchPx - b.pitchPx);
  const support = new Float64Array(found.length);
  for (let i = 0, first = 0; i < found.length; i++) {
    const a = found[i]!;
    support[i]! += weight(a);
    while (found[first]!.pitchPx * SAME_PITCH < a.pitchPx) first++;
    for (let j = first; j < i; j++) {
      const b = found[j]!;
      if (onOneLine(a, b)) support[i]! += weight(b);
      if (onOneLine(b, a)) support[j]! += weight(a);
    }
  }
  const order = found
    .map((tile, i) => ({ ...tile, rank: tile.comb * support[i]! }))
    .sort((a, b) => b.rank - a.rank);
  const chosen: (Found & { readonly rank: number })[] = [];
  for (const tile of order) {
    if (chosen.length >= most) break;
    const alike = chosen.filter((c) => samePitch(c, tile) && sameDirection(c, tile));
    if (alike.length < MOST_OF_A_SORT && alike.every((c) => !onOneLine(c, tile))) chosen.push(tile);
  }
  return chosen;
}

function samePitch(a: Found, b: Found): boolean {
  return a.pitchPx < b.pitchPx * SAME_PITCH && b.pitchPx < a.pitchPx * SAME_PITCH;
}

const sameDirection = (a: Found, b: Found): boolean => Math.abs(a.ux * b.ux + a.uy * b.uy) >= SAME_DIRECTION;

/** Same direction and, seen from `a`, near and on one line within half a tile. */
function onOneLine(a: Found, b: Found): boolean {
  if (!sameDirection(a, b)) return false;
  const across = Math.abs((b.x - a.x) * -a.uy + (b.y - a.y) * a.ux);
  const along = Math.abs((b.x - a.x) * a.ux + (b.y - a.y) * a.uy);
  return along <= REACH_PX && across <= TILE / 2 + 0.05 * along;
}

const weight = ({ comb, prominence }: Found): number => comb * prominence;
