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
const BLOCK_PX = 16;
/** Root mean square of the gradient, in grey levels a pixel; print reaches 10 to 60, skin stays below 4. */
const LEAST_GRADIENT = 8;
/** Share of the edges that agree in direction; 1 for perfect bars, near 0 for letters and fabric. */
const LEAST_COHERENCE = 0.55;
/** Neighbouring blocks of one symbol differ by perspective and noise, not by more. */
const SAME_DIRECTION_DEG = 12;
/** A symbol of fewer blocks could not be read at this size. */
const LEAST_BLOCKS = 5;
/** The largest regions only: a picture full of stripes must not cost minutes. */
const MAX_REGIONS = 6;

export interface PrintedParts {
  readonly bars: readonly BarRegion[];
  /** Smallest upright box around everything with edges as strong as print; null when there is none. */
  readonly detail: Box | null;
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
 * @source Bigün and Granlund 1987 (orientation from the eigenvectors of the gradient's second moments)
 */
export function printedParts(picture: GreyBytes): PrintedParts {
  const columns = Math.ceil(picture.widthPx / BLOCK_PX);
  const rows = Math.ceil(picture.heightPx / BLOCK_PX);
  const edges = Array.from({ length: columns * rows }, (_, i) =>
    blockEdges(picture, (i % columns) * BLOCK_PX, Math.floor(i / columns) * BLOCK_PX),
  );
  const bars = barRegions(
    edges.map((edge) => (edge?.coherent ? edge : null)),
    columns,
    rows,
  );
  return { bars, detail: boxAround(edges, columns) };
}

function barRegions(blocks: readonly (Edges | null)[], columns: number, rows: number): BarRegion[] {
  const taken = new Uint8Array(columns * rows);
  const regions: { readonly region: BarRegion; readonly blocks: number }[] = [];
  for (let seed = 0; seed < blocks.length; seed++) {
    if (taken[seed] || blocks[seed] === null) continue;
    const members = grow(seed, blocks, columns, rows, taken);
    if (members.length >= LEAST_BLOCKS) {
      regions.push({ region: extent(members, blocks, columns), blocks: members.length });
    }
  }
  regions.sort((a, b) => b.blocks - a.blocks);
  return regions.slice(0, MAX_REGIONS).map(({ region }) => region);
}

/** Doubled direction of the gradient as a vector, as a direction and its opposite are the same bars. */
interface Edges {
  readonly cos2: number;
  readonly sin2: number;
  readonly deg: number;
  readonly coherent: boolean;
}

/** Null where edges are weaker than print has them. */
function blockEdges({ grey, widthPx, heightPx }: GreyBytes, x0: number, y0: number): Edges | null {
  let xx = 0;
  let yy = 0;
  let xy = 0;
  const x1 = Math.min(x0 + BLOCK_PX, widthPx - 1);
  const y1 = Math.min(y0 + BLOCK_PX, heightPx - 1);
  for (let y = Math.max(y0, 1); y < y1; y++) {
    for (let x = Math.max(x0, 1), i = y * widthPx + x; x < x1; x++, i++) {
      const gx = (grey[i + 1]! - grey[i - 1]!) / 2;
      const gy = (grey[i + widthPx]! - grey[i - widthPx]!) / 2;
      xx += gx * gx;
      yy += gy * gy;
      xy += gx * gy;
    }
  }
  const energy = xx + yy;
  if (energy < LEAST_GRADIENT ** 2 * BLOCK_PX ** 2) return null;
  const coherent = Math.hypot(xx - yy, 2 * xy) >= LEAST_COHERENCE * energy;
  const angle2 = Math.atan2(2 * xy, xx - yy);
  return { cos2: Math.cos(angle2), sin2: Math.sin(angle2), deg: (angle2 * 90) / Math.PI, coherent };
}

function boxAround(edges: readonly (Edges | null)[], columns: number): Box | null {
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
  edges.forEach((edge, i) => {
    if (!edge) return;
    const x = (i % columns) * BLOCK_PX;
    const y = Math.floor(i / columns) * BLOCK_PX;
    [x0, y0] = [Math.min(x0, x), Math.min(y0, y)];
    [x1, y1] = [Math.max(x1, x + BLOCK_PX), Math.max(y1, y + BLOCK_PX)];
  });
  return x0 < x1 ? { x0, y0, x1, y1 } : null;
}

/** Blocks reached from `seed` over neighbours (one gap allowed) whose direction agrees with the seed's. */
function grow(
  seed: number,
  blocks: readonly (Edges | null)[],
  columns: number,
  rows: number,
  taken: Uint8Array,
): number[] {
  const members = [seed];
  taken[seed] = 1;
  for (let next = 0; next < members.length; next++) {
    const column = members[next]! % columns;
    const row = Math.floor(members[next]! / columns);
    for (let r = Math.max(0, row - 2); r <= Math.min(rows - 1, row + 2); r++) {
      for (let c = Math.max(0, column - 2); c <= Math.min(columns - 1, column + 2); c++) {
        const i = r * columns + c;
        const block = blocks[i];
        if (!block || taken[i] || differenceDeg(block.deg, blocks[seed]!.deg) > SAME_DIRECTION_DEG) continue;
        taken[i] = 1;
        members.push(i);
      }
    }
  }
  return members;
}

function extent(members: readonly number[], blocks: readonly (Edges | null)[], columns: number): BarRegion {
  let cos2 = 0;
  let sin2 = 0;
  for (const i of members) {
    cos2 += blocks[i]!.cos2;
    sin2 += blocks[i]!.sin2;
  }
  const angle = Math.atan2(sin2, cos2) / 2;
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
    acrossDeg: (angle * 180) / Math.PI,
    centre: { x: u * cos - v * sin, y: u * sin + v * cos },
    acrossPx: u1 - u0 + BLOCK_PX,
    alongPx: v1 - v0 + BLOCK_PX,
  };
}

/** Between directions that repeat after half a turn. */
function differenceDeg(a: number, b: number): number {
  const d = Math.abs(a - b) % 180;
  return Math.min(d, 180 - d);
}
