import type { XY } from "../../answers.ts";
import { codedBand } from "./coding.ts";
import { orientedBlocks } from "./oriented-blocks.ts";
import { type PitchRange, peakFinder } from "./peaks.ts";
import type { Level } from "./pyramid.ts";
import { type Found, ranked } from "./rank.ts";
import { createTileSpectrum, TILE } from "./tile-spectrum.ts";

/** A place where something repeats along a line: where, in which direction, how often. In pixels of its level. */
export interface Candidate {
  readonly x: number;
  readonly y: number;
  /** Unit vector across the bars, along the edge. */
  readonly ux: number;
  readonly uy: number;
  readonly pitchPx: number;
  readonly rank: number;
}

export interface SearchRange extends PitchRange {
  /** Only tiles whose centre is nearer than `radiusPx` to `centre`, both in pixels of the level. */
  readonly near?: { readonly centre: XY; readonly radiusPx: number };
}

const STEP = 32;
/**
 * Above this many pixels every second tile is looked at, in turns from row to row: no line passes between them. Ticks
 * must also cross more of a tile, in blocks of 8 px, as a centimetre is short in so large a picture; and where texture
 * runs along everywhere, a third of a row's tiles must do.
 */
const SPARSE_FROM_PX = 2e6;
const EFFORT = {
  dense: { fewestBlocks: 4, shareOfRow: 1 },
  sparse: { fewestBlocks: 5, shareOfRow: 1 / 3 },
} as const;
/** Most of them fail at the first lock-in, which is cheap. */
const MOST_PER_LEVEL = 36;

/** Tiles of a level in which one direction is periodic, best first, one for each line. */
export function searchTiles(level: Level, range: SearchRange): Candidate[] {
  const { widthPx: width, heightPx: height } = level;
  if (width < TILE || height < TILE) return [];
  const band = codedBand(level, TILE);
  const sparse = width * height > SPARSE_FROM_PX;
  const { fewestBlocks, shareOfRow } = EFFORT[sparse ? "sparse" : "dense"];
  const blocks = orientedBlocks(width);
  const spectrum = createTileSpectrum();
  const peaksOf = peakFinder(range);
  const found: Found[] = [];
  let top = Number.NEGATIVE_INFINITY;
  for (const [row, y0] of starts(height).entries()) {
    const columns = starts(width).filter(
      (x0, i) => !(sparse && (row + i) % 2 === 1) && isNear(range, x0 + TILE / 2, y0 + TILE / 2),
    );
    if (columns.length === 0) continue;
    band.moveTo(y0);
    blocks.look(band.coded, y0 - top);
    top = y0;
    const promising = columns
      .map((x0) => ({ x0, agreement: blocks.agreement(x0) }))
      .filter(({ agreement }) => agreement >= fewestBlocks)
      .sort((a, b) => b.agreement - a.agreement || scattered(a.x0) - scattered(b.x0));
    for (const { x0 } of promising.slice(0, Math.ceil(shareOfRow * columns.length))) {
      spectrum.transform(band.coded, width, x0, 0);
      for (const peak of peaksOf(spectrum)) found.push({ ...peak, x: x0 + TILE / 2, y: y0 + TILE / 2 });
    }
  }
  return ranked(found, MOST_PER_LEVEL);
}

/** Tiles that agree alike are taken from all over the row, the same ones each time. */
const scattered = (x0: number) => (x0 * 7919) % 1009;

function isNear({ near }: SearchRange, x: number, y: number): boolean {
  return !near || Math.hypot(x - near.centre[0], y - near.centre[1]) <= near.radiusPx + TILE / 2;
}

/** Every half tile; the last one ends at the border. */
function starts(side: number): number[] {
  const all: number[] = [];
  for (let at = 0; at + TILE < side; at += STEP) all.push(at);
  all.push(side - TILE);
  return all;
}
