import type { Ring } from "../artwork/mark.ts";
import { Coverage } from "../raster/coverage.ts";

/** How much the drawn body faces sideways: writes a vector in surface axes, length 0 (flat) to nearly 1 (edge). */
export type SidewaysAt = (s: number, t: number, out: Float64Array) => void;

const GRID = 220;

/**
 * A pillow over an outline: from the edge inwards the surface turns from facing sideways to facing up over
 * `roundMm`. Distances come from an exact distance transform of the outline on a grid, smoothed.
 */
export function roundnessOf(
  outline: readonly Ring[],
  roundMm: number,
  extent: {
    readonly left: number;
    readonly top: number;
    readonly right: number;
    readonly bottom: number;
  },
): SidewaysAt {
  const margin = roundMm;
  const left = extent.left - margin;
  const top = extent.top - margin;
  const cell = Math.max(extent.right - extent.left, extent.bottom - extent.top, 1) / GRID;
  const columns = Math.ceil((extent.right + margin - left) / cell) + 2;
  const rows = Math.ceil((extent.bottom + margin - top) / cell) + 2;
  const coverage = new Coverage();
  coverage.open(0, 0, columns, rows);
  for (const ring of outline) coverage.add(ring.map((v, i) => (v - (i % 2 === 0 ? left : top)) / cell));
  const inside = new Float32Array(columns * rows);
  for (let j = 0; j < rows; j++) coverage.row(j, inside.subarray(j * columns, (j + 1) * columns));
  const height = distanceToOutside(inside, columns, rows);
  for (let i = 0; i < height.length; i++) {
    const d = Math.min(1, (height[i]! * cell) / roundMm);
    height[i] = roundMm * Math.sqrt(d * (2 - d)) * 0.75; // a quarter ellipse
  }
  // Enough to hide the grid's steps along a slanting edge and the ridge along the middle.
  const passes = Math.max(2, Math.round(((0.2 * roundMm) / cell) ** 2));
  for (let i = 0; i < Math.min(passes, 14); i++) smooth(height, columns, rows);
  return (s, t, out) => {
    const i = Math.min(columns - 3, Math.max(1, Math.floor((s - left) / cell)));
    const j = Math.min(rows - 3, Math.max(1, Math.floor((t - top) / cell)));
    const fu = Math.min(1, Math.max(0, (s - left) / cell - i));
    const fv = Math.min(1, Math.max(0, (t - top) / cell - j));
    const at = (di: number, dj: number): number => height[(j + dj) * columns + i + di]!;
    const lerp = (a: number, b: number, f: number): number => a + (b - a) * f;
    const gx =
      lerp(
        lerp(at(1, 0) - at(-1, 0), at(2, 0) - at(0, 0), fu),
        lerp(at(1, 1) - at(-1, 1), at(2, 1) - at(0, 1), fu),
        fv,
      ) /
      (2 * cell);
    const gy =
      lerp(
        lerp(at(0, 1) - at(0, -1), at(1, 1) - at(1, -1), fu),
        lerp(at(0, 2) - at(0, 0), at(1, 2) - at(1, 0), fu),
        fv,
      ) /
      (2 * cell);
    const norm = Math.sqrt(1 + gx * gx + gy * gy);
    out[0] = -gx / norm;
    out[1] = -gy / norm;
  };
}

/** Exact Euclidean distance in cells to the nearest cell outside, by lower envelopes of parabolas.
 * @source FelzenszwalbHuttenlocher2012 */
function distanceToOutside(inside: Float32Array, columns: number, rows: number): Float32Array {
  const FAR = 1e9;
  // A cell that the outline cuts lies about its own share away from the outside: no steps along slanting edges.
  const squared = Float64Array.from(inside, (share) => (share > 0.99 ? FAR : share * share));
  const most = Math.max(columns, rows);
  const line = new Float64Array(most);
  const vertex = new Int32Array(most);
  const bound = new Float64Array(most + 1);
  const pass = (base: number, step: number, n: number): void => {
    for (let i = 0; i < n; i++) line[i] = squared[base + i * step]!;
    let k = 0;
    vertex[0] = 0;
    bound[0] = -Infinity;
    bound[1] = Infinity;
    for (let q = 1; q < n; q++) {
      let cut = crossing(line, vertex[k]!, q);
      while (cut <= bound[k]!) cut = crossing(line, vertex[--k]!, q);
      k++;
      vertex[k] = q;
      bound[k] = cut;
      bound[k + 1] = Infinity;
    }
    k = 0;
    for (let q = 0; q < n; q++) {
      while (bound[k + 1]! < q) k++;
      const v = vertex[k]!;
      squared[base + q * step] = (q - v) ** 2 + line[v]!;
    }
  };
  for (let x = 0; x < columns; x++) pass(x, columns, rows);
  for (let y = 0; y < rows; y++) pass(y * columns, 1, columns);
  return Float32Array.from(squared, (d2) => Math.sqrt(Math.min(d2, most * most)));
}

const crossing = (line: Float64Array, v: number, q: number): number =>
  (line[q]! + q * q - (line[v]! + v * v)) / (2 * (q - v));

function smooth(grid: Float32Array, columns: number, rows: number): void {
  const from = Float32Array.from(grid);
  for (let j = 1; j < rows - 1; j++) {
    for (let i = 1; i < columns - 1; i++) {
      const k = j * columns + i;
      let sum = 0;
      for (let dj = -1; dj <= 1; dj++) for (let di = -1; di <= 1; di++) sum += from[k + dj * columns + di]!;
      grid[k] = sum / 9;
    }
  }
}
