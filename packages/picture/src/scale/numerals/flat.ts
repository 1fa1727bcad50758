import type { GraduationRow } from "../edge/graduations.ts";
import { levelForPitch, sampleLine } from "../edge/sample.ts";
import { middleNumber } from "../edge-reading.ts";
import type { Level } from "../search/pyramid.ts";

/**
 * What lies to both sides of an edge, laid flat: columns run along the graduations, rows across them, both evenly in
 * graduations, so that lean and bow are gone and lettering stands square.
 */
export interface Flat {
  readonly columns: number;
  readonly rows: number;
  /** Samples per graduation, along and across. */
  readonly perPitch: number;
  /** Number of the graduation at the outer edge of column 0. */
  readonly firstK: number;
  /** Graduations from the line of the band's middle to the outer edge of row 0 (negative). */
  readonly firstO: number;
  /** How much like a bar's ink: 0 the ground nearby, 1 as far from it as a bar. What lies outside the picture is 0. */
  readonly ink: Float32Array;
}

/** How finely, and how far to each side, both in graduations. */
export interface FlatSize {
  readonly perPitch: number;
  readonly reach: number;
  /** Half side of the window in which the ground is sought: larger than a numeral's stroke, smaller than a scale. */
  readonly groundReach: number;
}

/** Numerals stand beside the first and the last graduation as well. */
const BEYOND = 3;
const MOST_SAMPLES = 350_000;

export function flatten(levels: readonly Level[], row: GraduationRow, size: FlatSize): Flat {
  const { strip, lattice, graduations, polarity, contrast } = row;
  const { reach } = size;
  const beyond = Math.min(BEYOND, reach);
  const area = (graduations.at(-1)!.k - graduations[0]!.k + 2 * beyond) * 2 * reach;
  const perPitch = Math.min(size.perPitch, Math.sqrt(MOST_SAMPLES / area));
  const firstK = graduations[0]!.k - beyond;
  const columns = Math.ceil((graduations.at(-1)!.k + beyond - firstK) * perPitch);
  const rows = Math.ceil(2 * reach * perPitch);
  const pitchPx = Math.abs(lattice.spacing(middleNumber(row)));
  const level = levelForPitch(levels, pitchPx, perPitch);
  const grey = new Float32Array(columns * rows);
  const column = new Float32Array(rows);
  for (let c = 0; c < columns; c++) {
    const k = firstK + (c + 0.5) / perPitch;
    const s = lattice.at(k);
    const step = Math.abs(lattice.spacing(k)) / perPitch / level.scale;
    const middle = strip.at(s, 0);
    const bar = strip.bar(s);
    const first = 0.5 - reach * perPitch;
    const x = middle.x / level.scale + first * step * bar.x;
    const y = middle.y / level.scale + first * step * bar.y;
    sampleLine(level, x, y, step * bar.x, step * bar.y, column);
    for (let r = 0; r < rows; r++) grey[r * columns + c] = column[r]!;
  }
  const ground = groundOf(grey, columns, rows, Math.round(size.groundReach * perPitch), polarity);
  const ink = new Float32Array(columns * rows);
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      const d = (polarity * (grey[r * columns + c]! - ground(c, r))) / Math.max(contrast, 1);
      if (d > 0) ink[r * columns + c] = Math.min(1.5, d); // not where d is NaN
    }
  }
  return { columns, rows, perPitch, firstK, firstO: -reach, ink };
}

/**
 * Mean of the neighbourhood, then of what in it is not on the ink's side of that mean; in cells of an eighth of the
 * window, as the ground changes slowly.
 */
function groundOf(
  grey: Float32Array,
  columns: number,
  rows: number,
  half: number,
  polarity: -1 | 1,
): (column: number, row: number) => number {
  const side = Math.max(1, Math.round(half / CELLS_IN_HALF));
  const across = Math.ceil(columns / side);
  const down = Math.ceil(rows / side);
  const cellOf = (c: number, r: number) => Math.floor(r / side) * across + Math.floor(c / side);
  let ground: Float64Array | null = null;
  for (let round = 0; round < 2; round++) {
    const sums = new Float64Array(across * down);
    const counts = new Float64Array(across * down);
    for (let r = 0; r < rows; r++) {
      for (let c = 0; c < columns; c++) {
        const v = grey[r * columns + c]!;
        const cell = cellOf(c, r);
        if (Number.isNaN(v) || (ground && polarity * (v - ground[cell]!) > 0)) continue;
        sums[cell]! += v;
        counts[cell]!++;
      }
    }
    const [sum, count] = [sums, counts].map((table) => boxSum(table, across, down));
    ground = sum!.map((v, i) => v / count![i]!);
  }
  const cells = ground!;
  return (c, r) => cells[cellOf(c, r)]!;
}

const CELLS_IN_HALF = 4;

/** Sum over the cells up to `CELLS_IN_HALF` away, along and across. */
function boxSum(table: Float64Array, across: number, down: number): Float64Array {
  const rowSums = new Float64Array(across * down);
  const sums = new Float64Array(across * down);
  for (let r = 0; r < down; r++) {
    for (let c = 0; c < across; c++) {
      let sum = 0;
      const to = Math.min(across - 1, c + CELLS_IN_HALF);
      for (let i = Math.max(0, c - CELLS_IN_HALF); i <= to; i++) sum += table[r * across + i]!;
      rowSums[r * across + c] = sum;
    }
  }
  for (let r = 0; r < down; r++) {
    for (let c = 0; c < across; c++) {
      let sum = 0;
      const to = Math.min(down - 1, r + CELLS_IN_HALF);
      for (let i = Math.max(0, r - CELLS_IN_HALF); i <= to; i++) sum += rowSums[i * across + c]!;
      sums[r * across + c] = sum;
    }
  }
  return sums;
}
