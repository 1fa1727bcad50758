import { fractalNoise, smoothstep } from "../noise/hash.ts";
import type { Skin } from "./skin.ts";
import { BLOOD, bloodShow, MELANIN } from "./tone.ts";

/** The slow colour changes of skin (blood, pigment, veins) as factors on a grid in surface millimetres. */
export interface Mottling {
  readonly left: number;
  readonly top: number;
  readonly cellMm: number;
  readonly columns: number;
  readonly rows: number;
  /** r, g, b factors, interleaved. */
  readonly factors: Float32Array;
}

export interface Extent {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

const MOST_CELLS = 160_000;

export function mottlingOf(skin: Skin, extent: Extent, pxPerMm: number): Mottling {
  const width = extent.right - extent.left;
  const height = extent.bottom - extent.top;
  const cellMm = Math.max(4 / pxPerMm, 0.06, Math.sqrt((width * height) / MOST_CELLS));
  const columns = Math.ceil(width / cellMm) + 2;
  const rows = Math.ceil(height / cellMm) + 2;
  const factors = new Float32Array(columns * rows * 3);
  const show = bloodShow(skin.tone);
  for (let j = 0; j < rows; j++) {
    const y = extent.top + j * cellMm;
    for (let i = 0; i < columns; i++) {
      const x = extent.left + i * cellMm;
      const blood = show * bloodAt(skin, x, y);
      const pigment = pigmentAt(skin, x, y);
      const vein = show * skin.vessels * veinAt(skin.seed, x, y);
      const k = (j * columns + i) * 3;
      // A vein lies deep: red light is lost there, which makes it look blue-grey.
      factors[k] = Math.exp(-BLOOD[0] * blood - MELANIN[0] * pigment - 0.26 * vein);
      factors[k + 1] = Math.exp(-BLOOD[1] * blood - MELANIN[1] * pigment - 0.1 * vein);
      factors[k + 2] = Math.exp(-BLOOD[2] * blood - MELANIN[2] * pigment - 0.02 * vein);
    }
  }
  return { left: extent.left, top: extent.top, cellMm, columns, rows, factors };
}

function bloodAt(skin: Skin, x: number, y: number): number {
  const wide = fractalNoise(x / 55, y / 55, skin.seed + 21, 2);
  const blotch = fractalNoise(x / 9, y / 9, skin.seed + 22, 4, 0.62);
  return 0.14 * wide + 0.17 * blotch;
}

function pigmentAt(skin: Skin, x: number, y: number): number {
  const wide = fractalNoise(x / 80, y / 80, skin.seed + 31, 2);
  const fine = fractalNoise(x / 4, y / 4, skin.seed + 32, 3, 0.6);
  return 0.1 * wide + 0.075 * fine;
}

/** Winding lines where a slow noise crosses zero, broken up by another: 0 to 1. */
function veinAt(seed: number, x: number, y: number): number {
  const path = fractalNoise(x / 70, y / 95, seed + 41, 3, 0.42);
  const near = 1 - smoothstep(0, 0.06, Math.abs(path));
  if (near === 0) return 0;
  return near * smoothstep(-0.25, 0.45, fractalNoise(x / 50, y / 50, seed + 42, 2));
}
