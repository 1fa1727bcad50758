import type { Flat } from "./flat.ts";

/** A connected piece of ink beside the graduations that could be a character. Lengths in graduations. */
export interface InkMark {
  /** Its middle: number along the edge, distance from the middle of the graduations' band (signed). */
  readonly k: number;
  readonly o: number;
  /** Extent along and across the edge. */
  readonly along: number;
  readonly across: number;
  /** In samples of the flat picture: the box, its last column and row included. */
  readonly box: {
    readonly left: number;
    readonly top: number;
    readonly right: number;
    readonly bottom: number;
  };
  readonly label: number;
}

export interface InkMarks {
  readonly marks: readonly InkMark[];
  /** Per sample the number of the piece that it belongs to, 0 for the ground. */
  readonly labels: Int32Array;
}

/** Half way from the ground to a bar's ink. */
const INK = 0.5;
/** A character is at least this many samples high, and no longer one way than this many times the other. */
const LEAST_SAMPLES = 6;
const MOST_ASPECT = 6;

/**
 * Pieces of ink that do not touch the graduations' band.
 *   @param band the band's two borders, in graduations from its middle
 *   @param heights least and most height of a character, in graduations
 */
export function inkMarks(
  flat: Flat,
  band: readonly [number, number],
  heights: readonly [number, number],
): InkMarks {
  const { columns, rows, perPitch, ink, firstK, firstO } = flat;
  const labels = new Int32Array(columns * rows);
  const marks: InkMark[] = [];
  const stack = new Int32Array(columns * rows);
  const bandTop = (band[0] - firstO) * perPitch;
  const bandBottom = (band[1] - firstO) * perPitch;
  let label = 0;
  for (let seed = 0; seed < ink.length; seed++) {
    if (labels[seed] !== 0 || ink[seed]! < INK) continue;
    label++;
    labels[seed] = label;
    stack[0] = seed;
    let waiting = 1;
    let [left, top, right, bottom] = [columns, rows, 0, 0];
    while (waiting > 0) {
      const i = stack[--waiting]!;
      const c = i % columns;
      const r = (i - c) / columns;
      if (c < left) left = c;
      if (c > right) right = c;
      if (r < top) top = r;
      if (r > bottom) bottom = r;
      for (let dr = -1; dr <= 1; dr++) {
        for (let dc = -1; dc <= 1; dc++) {
          const [nc, nr] = [c + dc, r + dr];
          if (nc < 0 || nr < 0 || nc >= columns || nr >= rows) continue;
          const n = nr * columns + nc;
          if (labels[n] !== 0 || ink[n]! < INK) continue;
          labels[n] = label;
          stack[waiting++] = n;
        }
      }
    }
    const along = (right - left + 1) / perPitch;
    const across = (bottom - top + 1) / perPitch;
    const longer = Math.max(along, across);
    if (longer * perPitch < LEAST_SAMPLES || longer < heights[0] || longer > heights[1]) continue;
    if (longer > MOST_ASPECT * Math.min(along, across) + 1 / perPitch) continue;
    if (bottom >= bandTop && top <= bandBottom) continue;
    if (left === 0 || top === 0 || right === columns - 1 || bottom === rows - 1) continue;
    marks.push({
      k: firstK + (left + right + 1) / 2 / perPitch,
      o: firstO + (top + bottom + 1) / 2 / perPitch,
      along,
      across,
      box: { left, top, right, bottom },
      label,
    });
  }
  return { marks, labels };
}
