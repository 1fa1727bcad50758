import type { Grid } from "./cells.ts";

/** Smooth light over some cells of the frame: log2 of luminance as a polynomial of the place, -1 to 1 across the frame. */
export interface SmoothLight {
  /** Stops at a cell. */
  at(cell: number): number;
  /** Change across half the frame's width and height at the middle of the cells, stops. */
  readonly slope: { readonly x: number; readonly y: number };
  /** Root mean square of what is left, stops. */
  readonly rest: number;
}

/** Enough of them for six numbers. */
const MOST_CELLS = 2500;
const ROUNDS = 3;
/** Tukey's biweight: what lies further off, in deviations, does not count. */
const FAR = 4.7;

/**
 * Least squares with what lies far off left out, so that a wound, a fold or a mole does not bend the light.
 * @param order 1: a plane; 2: bowl and saddle as well
 */
export function fitLight(
  stops: Float32Array,
  cells: readonly number[],
  { columns, rows }: Grid,
  order: 1 | 2,
): SmoothLight | null {
  const terms = order === 1 ? 3 : 6;
  if (cells.length < 10 * terms) return null;
  const step = Math.max(1, Math.floor(cells.length / MOST_CELLS));
  const used = cells.filter((_, i) => i % step === 0);
  const [mx, my] = [0, 1].map(
    (axis) => used.reduce((sum, i) => sum + place(i, axis, columns, rows), 0) / used.length,
  );
  const basis = (i: number): number[] => {
    const x = place(i, 0, columns, rows) - mx!;
    const y = place(i, 1, columns, rows) - my!;
    return order === 1 ? [1, x, y] : [1, x, y, x * x, x * y, y * y];
  };
  const rowsOf = used.map(basis);
  const weights = new Float64Array(used.length).fill(1);
  let solved: number[] | null = null;
  let rest = 0;
  for (let round = 0; round < ROUNDS; round++) {
    solved = solve(
      rowsOf,
      used.map((i) => stops[i]!),
      weights,
      terms,
    );
    if (!solved) return null;
    const left = rowsOf.map((row, k) => stops[used[k]!]! - dot(row, solved!));
    const spread = Float64Array.from(left, Math.abs).sort()[left.length >> 1]! * 1.483 + 1e-6;
    let [sum, n] = [0, 0];
    left.forEach((r, k) => {
      const u = r / (FAR * spread);
      weights[k] = Math.abs(u) < 1 ? (1 - u * u) ** 2 : 0;
      sum += weights[k]! * r * r;
      n += weights[k]!;
    });
    rest = Math.sqrt(sum / n);
  }
  const found = solved!;
  return { at: (i) => dot(basis(i), found), slope: { x: found[1]!, y: found[2]! }, rest };
}

function place(cell: number, axis: number, columns: number, rows: number): number {
  const x = cell % columns;
  return axis === 0 ? ((x + 0.5) / columns) * 2 - 1 : (((cell - x) / columns + 0.5) / rows) * 2 - 1;
}

const dot = (a: readonly number[], b: readonly number[]): number =>
  a.reduce((sum, v, i) => sum + v * b[i]!, 0);

/** Normal equations by elimination with pivots; null where the cells do not settle them. */
function solve(
  rows: readonly (readonly number[])[],
  values: readonly number[],
  weights: Float64Array,
  n: number,
): number[] | null {
  const m = Array.from({ length: n }, () => new Float64Array(n + 1));
  rows.forEach((row, k) => {
    const w = weights[k]!;
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) m[i]![j]! += w * row[i]! * row[j]!;
      m[i]![n]! += w * row[i]! * values[k]!;
    }
  });
  for (let i = 0; i < n; i++) {
    let pivot = i;
    for (let r = i + 1; r < n; r++) if (Math.abs(m[r]![i]!) > Math.abs(m[pivot]![i]!)) pivot = r;
    [m[i], m[pivot]] = [m[pivot]!, m[i]!];
    if (Math.abs(m[i]![i]!) < 1e-9) return null;
    for (let r = 0; r < n; r++) {
      if (r === i) continue;
      const k = m[r]![i]! / m[i]![i]!;
      for (let c = i; c <= n; c++) m[r]![c]! -= k * m[i]![c]!;
    }
  }
  return m.map((row, i) => row[n]! / row[i]!);
}

/** Log2 of luminance, no darker than where 8 bits stop telling. */
export const stopsOf = (luminance: Float32Array): Float32Array =>
  luminance.map((y) => Math.log2(Math.max(y, 1 / 4096)));
