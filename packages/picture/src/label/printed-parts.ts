import type { GreyBytes } from "./scanner.ts";

/** A part of the picture in which strong edges run in one direction, as bars do. */
export interface BarRegion {
  /** Direction across the bars, in degrees from the x axis (x right, y down), -90 < a <= 90. */
  readonly acrossDeg: number;
  /** Middle of the region and its extent across and along the bars, in pixels of the picture searched. */
  readonly centre: { readonly x: number; readonly y: number };
  readonly acrossPx: number;
  readonly alongPx: number;
}

/** Side of the blocks whose edges are pooled: some ten narrow bars at the least size that can be read. */
export const BLOCK_PX = 16;
/** Root mean square of the gradient, in grey levels a pixel; print reaches 10 to 60, skin stays below 4. */
const LEAST_GRADIENT = 8;
/** The same in the strongest block of a spot: skin and weave stay below 35, print is above 40 even where it is not resolved. */
const LEAST_PRINT = 25;
/** Agreement of the edges in direction, 0 to 1: measured medians are 0.9 for bars, 0.55 for PDF417, 0.25 for squares. */
const LEAST_COHERENCE = 0.45;
/** Neighbouring blocks of one symbol differ by perspective and noise, not by more. */
const SAME_DIRECTION_DEG = 12;
/** As far as aliasing was seen to turn a direction. */
const MOST_REMAINING_DEG = 15;
/** A symbol of fewer blocks could not be read at this size. */
const LEAST_BLOCKS = 5;
/** The largest regions only: a picture full of stripes must not cost minutes. */
const MAX_REGIONS = 16;

/** Steps between light and dark that a row and a column of a block cross together, on average: print has three and more, a hair or the edge of a sheet one. */
const LEAST_STEPS = 2.5;
/** Slope of such a step, in grey levels a pixel. */
const STEP_SLOPE = 12;

export interface PrintedParts {
  readonly bars: readonly BarRegion[];
  /** Boxes round what is as busy as print, the strongest first: codes of squares, text, numerals, weave. */
  readonly spots: readonly Box[];
}

export interface Box {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/**
 * Finds where print may be, where bars, and which way they run, by the structure tensor of the grey values pooled
 * in blocks.
 * @source Bigun1987 (orientation from the eigenvectors of the gradient's second moments)
 */
export function printedParts(picture: GreyBytes): PrintedParts {
  const { blocks, columns, rows } = pooled(picture);
  const coherent = blocks.map((edges) => (edges?.coherent ? edges : null));
  return { bars: barRegions(coherent, columns, rows), spots: busySpots(blocks, columns, rows) };
}

/**
 * How far the bars in an already turned crop still lean from upright, in degrees; 0 where none are within reach.
 * Bars near the limit of resolution look turned; at full size they show their true direction.
 */
export function remainingLeanDeg(crop: GreyBytes): number {
  const { blocks } = pooled(crop);
  const near = blocks.filter((edges) => edges?.coherent && Math.abs(edges.deg) <= MOST_REMAINING_DEG);
  return near.length > 0 ? meanDeg(near as Edges[]) : 0;
}

function pooled(picture: GreyBytes) {
  const columns = Math.ceil(picture.widthPx / BLOCK_PX);
  const rows = Math.ceil(picture.heightPx / BLOCK_PX);
  const blocks = Array.from({ length: columns * rows }, (_, i) =>
    blockEdges(picture, (i % columns) * BLOCK_PX, Math.floor(i / columns) * BLOCK_PX),
  );
  return { blocks, columns, rows };
}

function barRegions(blocks: readonly (Edges | null)[], columns: number, rows: number): BarRegion[] {
  const taken = new Uint8Array(columns * rows);
  const regions: { readonly region: BarRegion; readonly blocks: number }[] = [];
  // Clean blocks from the middle of a symbol first: the direction of its edge blocks is a mixture.
  const seeds = [...blocks.keys()].filter((i) => blocks[i]);
  seeds.sort((a, b) => blocks[b]!.weight - blocks[a]!.weight);
  for (const seed of seeds) {
    if (taken[seed]) continue;
    const members = grow(seed, blocks, columns, rows, taken);
    if (members.length >= LEAST_BLOCKS) {
      regions.push({ region: extent(members, blocks, columns), blocks: members.length });
    }
  }
  regions.sort((a, b) => b.blocks - a.blocks);
  return regions.slice(0, MAX_REGIONS).map(({ region }) => region);
}

interface Edges {
  /** Direction across the edges; it repeats after half a turn. */
  readonly deg: number;
  /** Strength of the edges that agree. */
  readonly weight: number;
  readonly coherent: boolean;
  readonly energy: number;
  readonly busy: boolean;
}

/** Null where edges are weaker than print has them. */
function blockEdges({ grey, widthPx, heightPx }: GreyBytes, x0: number, y0: number): Edges | null {
  let xx = 0;
  let yy = 0;
  let xy = 0;
  let steps = 0;
  const lastDown = new Int8Array(BLOCK_PX);
  const x1 = Math.min(x0 + BLOCK_PX, widthPx - 1);
  const y1 = Math.min(y0 + BLOCK_PX, heightPx - 1);
  for (let y = Math.max(y0, 1); y < y1; y++) {
    let lastAcross = 0;
    for (let x = Math.max(x0, 1), i = y * widthPx + x; x < x1; x++, i++) {
      const gx = (grey[i + 1]! - grey[i - 1]!) / 2;
      const gy = (grey[i + widthPx]! - grey[i - widthPx]!) / 2;
      xx += gx * gx;
      yy += gy * gy;
      xy += gx * gy;
      if (gx > STEP_SLOPE || gx < -STEP_SLOPE) {
        const way = gx > 0 ? 1 : -1;
        if (way === -lastAcross) steps++;
        lastAcross = way;
      }
      if (gy > STEP_SLOPE || gy < -STEP_SLOPE) {
        const way = gy > 0 ? 1 : -1;
        if (way === -lastDown[x - x0]!) steps++;
        lastDown[x - x0] = way;
      }
    }
  }
  const energy = xx + yy;
  if (energy < LEAST_GRADIENT ** 2 * BLOCK_PX ** 2) return null;
  const weight = Math.hypot(xx - yy, 2 * xy);
  const deg = (Math.atan2(2 * xy, xx - yy) * 90) / Math.PI;
  const busy = steps >= LEAST_STEPS * BLOCK_PX;
  return { deg, weight, coherent: weight >= LEAST_COHERENCE * energy, energy, busy };
}

/** Busy blocks that touch, boxed, with a block of margin; those with the strongest edges first. */
function busySpots(blocks: readonly (Edges | null)[], columns: number, rows: number): Box[] {
  const taken = new Uint8Array(columns * rows);
  const spots: { readonly box: Box; readonly strength: number }[] = [];
  for (const seed of blocks.keys()) {
    if (taken[seed] || !blocks[seed]?.busy) continue;
    const members = grown(seed, columns, rows, taken, 1, (i) => blocks[i]?.busy === true);
    const across = members.map((i) => i % columns);
    const down = members.map((i) => Math.floor(i / columns));
    const box = {
      x0: (Math.min(...across) - 1) * BLOCK_PX,
      y0: (Math.min(...down) - 1) * BLOCK_PX,
      x1: (Math.max(...across) + 2) * BLOCK_PX,
      y1: (Math.max(...down) + 2) * BLOCK_PX,
    };
    const strength = Math.max(...members.map((i) => blocks[i]!.energy));
    if (strength >= LEAST_PRINT ** 2 * BLOCK_PX ** 2) spots.push({ box, strength });
  }
  return spots.sort((a, b) => b.strength - a.strength).map(({ box }) => box);
}

/** Blocks reached from `seed` over neighbours (one gap allowed) whose direction agrees with the seed's. */
const grow = (
  seed: number,
  blocks: readonly (Edges | null)[],
  columns: number,
  rows: number,
  taken: Uint8Array,
): number[] =>
  grown(seed, columns, rows, taken, 2, (i) => {
    const block = blocks[i];
    return !!block && differenceDeg(block.deg, blocks[seed]!.deg) <= SAME_DIRECTION_DEG;
  });

function grown(
  seed: number,
  columns: number,
  rows: number,
  taken: Uint8Array,
  reach: number,
  isMember: (i: number) => boolean,
): number[] {
  const members = [seed];
  taken[seed] = 1;
  for (let next = 0; next < members.length; next++) {
    const column = members[next]! % columns;
    const row = Math.floor(members[next]! / columns);
    for (let r = Math.max(0, row - reach); r <= Math.min(rows - 1, row + reach); r++) {
      for (let c = Math.max(0, column - reach); c <= Math.min(columns - 1, column + reach); c++) {
        const i = r * columns + c;
        if (taken[i] || !isMember(i)) continue;
        taken[i] = 1;
        members.push(i);
      }
    }
  }
  return members;
}

function extent(members: readonly number[], blocks: readonly (Edges | null)[], columns: number): BarRegion {
  const acrossDeg = meanDeg(members.map((i) => blocks[i]!));
  const angle = (acrossDeg * Math.PI) / 180;
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  let [u0, u1, v0, v1] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const i of members) {
    const x = ((i % columns) + 0.5) * BLOCK_PX;
    const y = (Math.floor(i / columns) + 0.5) * BLOCK_PX;
    const u = x * cos + y * sin;
    const v = y * cos - x * sin;
    [u0, u1, v0, v1] = [Math.min(u0, u), Math.max(u1, u), Math.min(v0, v), Math.max(v1, v)];
  }
  const [u, v] = [(u0 + u1) / 2, (v0 + v1) / 2];
  return {
    acrossDeg,
    centre: { x: u * cos - v * sin, y: u * sin + v * cos },
    acrossPx: u1 - u0 + BLOCK_PX,
    alongPx: v1 - v0 + BLOCK_PX,
  };
}

/** Mean direction by the strength of the edges; doubled on the way, as opposite directions are the same bars. */
function meanDeg(edges: readonly Edges[]): number {
  let cos2 = 0;
  let sin2 = 0;
  for (const { deg, weight } of edges) {
    cos2 += weight * Math.cos((deg * Math.PI) / 90);
    sin2 += weight * Math.sin((deg * Math.PI) / 90);
  }
  return (Math.atan2(sin2, cos2) * 90) / Math.PI;
}

/** Between directions that repeat after half a turn. */
function differenceDeg(a: number, b: number): number {
  const d = Math.abs(a - b) % 180;
  return Math.min(d, 180 - d);
}
