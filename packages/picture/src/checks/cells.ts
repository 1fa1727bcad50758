/** Masks over a grid of cells, row by row: 1 = belongs. */
export interface Grid {
  readonly columns: number;
  readonly rows: number;
}

/** Keeps what most of the eight neighbours and the cell itself agree on; beyond the border counts as the cell does. */
export function majority(mask: Uint8Array, { columns, rows }: Grid): Uint8Array {
  const out = new Uint8Array(mask.length);
  for (let y = 0, i = 0; y < rows; y++) {
    for (let x = 0; x < columns; x++, i++) {
      let sum = 0;
      for (let dy = -1; dy <= 1; dy++) {
        for (let dx = -1; dx <= 1; dx++) {
          const [u, v] = [x + dx, y + dy];
          sum += u < 0 || v < 0 || u >= columns || v >= rows ? mask[i]! : mask[v * columns + u]!;
        }
      }
      out[i] = sum > 4 ? 1 : 0;
    }
  }
  return out;
}

export interface Part {
  readonly cells: readonly number[];
  readonly touchesBorder: boolean;
}

/** Connected parts (four neighbours) of a mask, largest first. */
export function partsOf(mask: Uint8Array, { columns, rows }: Grid): Part[] {
  const seen = new Uint8Array(mask.length);
  const parts: Part[] = [];
  for (let start = 0; start < mask.length; start++) {
    if (!mask[start] || seen[start]) continue;
    const cells = [start];
    seen[start] = 1;
    let touchesBorder = false;
    for (let k = 0; k < cells.length; k++) {
      const i = cells[k]!;
      const x = i % columns;
      const y = (i - x) / columns;
      if (x === 0 || y === 0 || x === columns - 1 || y === rows - 1) touchesBorder = true;
      const visit = (j: number) => {
        if (!mask[j] || seen[j]) return;
        seen[j] = 1;
        cells.push(j);
      };
      if (x > 0) visit(i - 1);
      if (x < columns - 1) visit(i + 1);
      if (y > 0) visit(i - columns);
      if (y < rows - 1) visit(i + columns);
    }
    parts.push({ cells, touchesBorder });
  }
  return parts.sort((a, b) => b.cells.length - a.cells.length);
}

/** A mask without what lies within `reach` cells of its edge; the border of the frame is no edge. */
export function eroded(mask: Uint8Array, grid: Grid, reach: number): Uint8Array {
  const outside = mask.map((v) => 1 - v);
  return grown(outside, grid, reach).map((v) => 1 - v);
}

/** A mask with what lies within `reach` cells of it, by square neighbourhoods. */
export function grown(mask: Uint8Array, { columns, rows }: Grid, reach: number): Uint8Array {
  const along = new Uint8Array(mask.length);
  const out = new Uint8Array(mask.length);
  spread(mask, along, columns, rows, 1, columns, reach);
  spread(along, out, rows, columns, columns, 1, reach);
  return out;
}

function spread(
  from: Uint8Array,
  to: Uint8Array,
  length: number,
  lines: number,
  step: number,
  lineStep: number,
  reach: number,
): void {
  for (let line = 0; line < lines; line++) {
    let last = Number.NEGATIVE_INFINITY;
    let next = -1;
    for (let i = 0; i < length; i++) {
      if (next < i) {
        next = i;
        while (next < length && !from[line * lineStep + next * step]) next++;
      }
      if (next === i) last = i;
      if (i - last <= reach || (next < length && next - i <= reach)) to[line * lineStep + i * step] = 1;
    }
  }
}

export const countOf = (mask: Uint8Array): number => mask.reduce((sum, v) => sum + v, 0);

/** Median; NaN of nothing. Its input is left alone. */
export function quantileOf(values: ArrayLike<number>, share: number): number {
  const sorted = Float64Array.from(values).sort();
  return sorted.length === 0
    ? Number.NaN
    : sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!;
}

export const medianOf = (values: ArrayLike<number>): number => quantileOf(values, 0.5);
