import type { Shader } from "../artwork/mark.ts";

/** A slow function of place, sampled once on a grid over a box round the origin and read back bilinearly. */
export function gridded(
  value: (x: number, y: number) => number,
  widthMm: number,
  heightMm: number,
  cellMm: number,
): (x: number, y: number) => number {
  const columns = Math.ceil(widthMm / cellMm) + 3;
  const rows = Math.ceil(heightMm / cellMm) + 3;
  const left = (-columns * cellMm) / 2;
  const top = (-rows * cellMm) / 2;
  const grid = new Float32Array(columns * rows);
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) grid[j * columns + i] = value(left + i * cellMm, top + j * cellMm);
  }
  return (x, y) => {
    const u = Math.min(columns - 1.001, Math.max(0, (x - left) / cellMm));
    const v = Math.min(rows - 1.001, Math.max(0, (y - top) / cellMm));
    const i = u | 0;
    const j = v | 0;
    const k = j * columns + i;
    const fu = u - i;
    const a = grid[k]! + (grid[k + 1]! - grid[k]!) * fu;
    const b = grid[k + columns]! + (grid[k + columns + 1]! - grid[k + columns]!) * fu;
    return a + (b - a) * (v - j);
  };
}

/** The same for a shader of three factors. */
export function griddedFactors(shade: Shader, widthMm: number, heightMm: number, cellMm: number): Shader {
  const columns = Math.ceil(widthMm / cellMm) + 3;
  const rows = Math.ceil(heightMm / cellMm) + 3;
  const left = (-columns * cellMm) / 2;
  const top = (-rows * cellMm) / 2;
  const grid = new Float32Array(columns * rows * 3);
  const at = new Float64Array(4);
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      shade(left + i * cellMm, top + j * cellMm, at);
      grid.set(at.subarray(0, 3), (j * columns + i) * 3);
    }
  }
  const down = columns * 3;
  return (x, y, out) => {
    const u = Math.min(columns - 1.001, Math.max(0, (x - left) / cellMm));
    const v = Math.min(rows - 1.001, Math.max(0, (y - top) / cellMm));
    const i = u | 0;
    const j = v | 0;
    const k = j * down + i * 3;
    const fu = u - i;
    const fv = v - j;
    for (let c = k; c < k + 3; c++) {
      const a = grid[c]! + (grid[c + 3]! - grid[c]!) * fu;
      const b = grid[c + down]! + (grid[c + down + 3]! - grid[c + down]!) * fu;
      out[c - k] = a + (b - a) * fv;
    }
  };
}
