/** A set of cells of a grid, row by row; 1 = in the set. */
export interface Grid {
  readonly width: number;
  readonly height: number;
}

/** The cells of `mask` that hang together (four neighbours) with the cell nearest to `start` within `reach`. */
export function partAt(
  mask: Uint8Array,
  grid: Grid,
  startX: number,
  startY: number,
  reach: number,
): Uint8Array<ArrayBuffer> | null {
  const { width, height } = grid;
  let seed = -1;
  let nearest = reach * reach;
  const r = Math.ceil(reach);
  for (let y = Math.max(0, Math.floor(startY) - r); y <= Math.min(height - 1, Math.floor(startY) + r); y++) {
    for (let x = Math.max(0, Math.floor(startX) - r); x <= Math.min(width - 1, Math.floor(startX) + r); x++) {
      const d = (x + 0.5 - startX) ** 2 + (y + 0.5 - startY) ** 2;
      if (mask[y * width + x] && d <= nearest) {
        nearest = d;
        seed = y * width + x;
      }
    }
  }
  return seed < 0 ? null : flood(mask, grid, [seed]);
}

/** The cells of `mask` reachable from the seeds in steps to the four neighbours. */
export function flood(mask: Uint8Array, grid: Grid, seeds: readonly number[]): Uint8Array<ArrayBuffer> {
  const { width, height } = grid;
  const part = new Uint8Array(mask.length);
  const stack = new Int32Array(mask.length);
  let depth = 0;
  const visit = (i: number) => {
    if (!mask[i] || part[i]) return;
    part[i] = 1;
    stack[depth++] = i;
  };
  for (const s of seeds) visit(s);
  while (depth > 0) {
    const i = stack[--depth]!;
    const x = i % width;
    if (x > 0) visit(i - 1);
    if (x + 1 < width) visit(i + 1);
    if (i >= width) visit(i - width);
    if (i < width * (height - 1)) visit(i + width);
  }
  return part;
}

/** Fills every hole that holds none of the `keep` cells (places a person said are outside). */
export function fillHoles(
  mask: Uint8Array,
  grid: Grid,
  keep: readonly number[] = [],
): Uint8Array<ArrayBuffer> {
  const { width, height } = grid;
  const outside = inverted(mask);
  const seeds: number[] = keep.filter((i) => outside[i]);
  for (let x = 0; x < width; x++) seeds.push(x, (height - 1) * width + x);
  for (let y = 0; y < height; y++) seeds.push(y * width, y * width + width - 1);
  const open = flood(outside, grid, seeds);
  return inverted(open);
}

function inverted(mask: Uint8Array): Uint8Array<ArrayBuffer> {
  const other = new Uint8Array(mask.length);
  for (let i = 0; i < mask.length; i++) other[i] = mask[i] ? 0 : 1;
  return other;
}

/** Distance in cells from each cell's centre to the nearest cell centre not in the set (0 outside the set). */
export function depthInside(mask: Uint8Array, grid: Grid): Float32Array {
  const squared = new Float64Array(mask.length);
  for (let i = 0; i < mask.length; i++) squared[i] = mask[i] ? 1e12 : 0;
  squaredDistances(squared, grid);
  const depth = new Float32Array(mask.length);
  for (let i = 0; i < depth.length; i++) depth[i] = Math.sqrt(squared[i]!);
  return depth;
}

/** The cells that are more inside than outside. */
export function insideOf(share: Float32Array): Uint8Array<ArrayBuffer> {
  const inside = new Uint8Array(share.length);
  for (let i = 0; i < share.length; i++) if (share[i]! >= 0.5) inside[i] = 1;
  return inside;
}

/** The greatest of values that are not negative. */
export function greatestOf(values: Float32Array): number {
  let greatest = 0;
  for (let i = 0; i < values.length; i++) if (values[i]! > greatest) greatest = values[i]!;
  return greatest;
}

/**
 * Exact squared distance transform, in place: 0 cells are the sources. Lower envelope of parabolas along
 * columns, then rows.
 *
 * @source FelzenszwalbHuttenlocher2012
 */
export function squaredDistances(f: Float64Array, { width, height }: Grid): void {
  const longest = Math.max(width, height);
  const line = new Float64Array(longest);
  const apex = new Int32Array(longest);
  const border = new Float64Array(longest + 1);
  const pass = (start: number, stride: number, n: number) => {
    for (let i = 0; i < n; i++) line[i] = f[start + i * stride]!;
    let k = 0;
    apex[0] = 0;
    border[0] = -Infinity;
    border[1] = Infinity;
    for (let q = 1; q < n; q++) {
      let cross = 0;
      for (;;) {
        const v = apex[k]!;
        cross = (line[q]! + q * q - line[v]! - v * v) / (2 * (q - v));
        if (cross > border[k]! || k === 0) break;
        k--;
      }
      if (cross <= border[k]!) {
        apex[k] = q;
      } else {
        k++;
        apex[k] = q;
        border[k] = cross;
      }
      border[k + 1] = Infinity;
    }
    k = 0;
    for (let q = 0; q < n; q++) {
      while (border[k + 1]! < q) k++;
      f[start + q * stride] = (q - apex[k]!) ** 2 + line[apex[k]!]!;
    }
  };
  for (let x = 0; x < width; x++) pass(x, width, height);
  for (let y = 0; y < height; y++) pass(y * width, 1, width);
}
