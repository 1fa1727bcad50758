import { applyHomography, type Matrix3 } from "@samescale/geometry";
import type { UprightPicture } from "../../decode/picture.ts";
import { BLACK, BURNT_OUT } from "../clipping.ts";
import type { Rgb } from "./placement.ts";

/** What the middle of one patch shows; values gamma-coded, 0 to 1. */
export interface PatchColour {
  readonly median: Rgb;
  /** Mean of the middle half of the values in each channel: finer than the file's steps, blind to dust. */
  readonly mean: Rgb;
  /** Share of the samples in which a channel stands at its end: burnt out, or black with nothing left. */
  readonly clippedHigh: number;
  readonly clippedLow: number;
}

/** Half-width of what is sampled, in cells: the patch fills at least ±0.3, its rim may be blurred or shaded. */
const REACH = 0.2;
/** Enough for a steady median, few enough for many placements. */
const MOST_PER_SIDE = 24;

/** Colour in the middle of the cell `(column, row)`; null when that lies even partly outside the picture. */
export function patchColour(
  picture: UprightPicture,
  cellsToPx: Matrix3,
  column: number,
  row: number,
): PatchColour | null {
  const a = applyHomography(cellsToPx, { x: column - REACH, y: row - REACH });
  const b = applyHomography(cellsToPx, { x: column + REACH, y: row + REACH });
  const perSide = Math.min(
    MOST_PER_SIDE,
    Math.max(3, Math.round(Math.hypot(b.x - a.x, b.y - a.y) / Math.SQRT2)),
  );
  const channels: [number[], number[], number[]] = [[], [], []];
  let high = 0;
  let low = 0;
  for (let j = 0; j < perSide; j++) {
    for (let i = 0; i < perSide; i++) {
      const p = applyHomography(cellsToPx, {
        x: column + REACH * ((2 * i + 1) / perSide - 1),
        y: row + REACH * ((2 * j + 1) / perSide - 1),
      });
      const [x, y] = [Math.floor(p.x), Math.floor(p.y)];
      if (!(x >= 0 && y >= 0 && x < picture.widthPx && y < picture.heightPx)) return null;
      const at = 3 * (y * picture.widthPx + x);
      let most = 0;
      let least = 255;
      for (const c of [0, 1, 2] as const) {
        const value = picture.rgb[at + c]!;
        channels[c].push(value);
        most = Math.max(most, value);
        least = Math.min(least, value);
      }
      if (most >= BURNT_OUT) high++;
      if (least <= BLACK) low++;
    }
  }
  const samples = perSide * perSide;
  for (const values of channels) values.sort((p, q) => p - q);
  const middle = (values: number[]) => values[Math.floor(samples / 2)]! / 255;
  const middleHalf = (values: number[]) => {
    const half = values.slice(Math.floor(samples / 4), Math.ceil((3 * samples) / 4));
    return half.reduce((s, v) => s + v, 0) / half.length / 255;
  };
  return {
    median: [middle(channels[0]), middle(channels[1]), middle(channels[2])],
    mean: [middleHalf(channels[0]), middleHalf(channels[1]), middleHalf(channels[2])],
    clippedHigh: high / samples,
    clippedLow: low / samples,
  };
}
