import type { Point } from "@samescale/geometry";
import type { Strip } from "../edge/strip.ts";
import type { Level } from "../search/pyramid.ts";

/** Light along a row, averaged over its band and evenly sampled. */
export interface RowProfile {
  readonly start: number;
  readonly stepPx: number;
  /** NaN outside the picture. */
  readonly light: Float64Array;
}

/** Picture pixels; finer than any blur. */
const STEP_PX = 0.5;
const ROWS = 12;
/** Left off at the blocks' upper and lower ends: blur, and frame lines. */
const INSET = 0.15;
/** Pixels sum light, not the grey values that stand for it: a border lies where the light is half. */
const LIGHT = Float64Array.from({ length: 256 }, (_, grey) => (grey / 255) ** 2.2);

export function rowProfile(level: Level, strip: Strip, from: number, to: number): RowProfile {
  const count = Math.max(0, Math.floor((to - from) / STEP_PX) + 1);
  const light = new Float64Array(count);
  const inset = INSET * (strip.band[1] - strip.band[0]);
  const [low, high] = [strip.band[0] + inset, strip.band[1] - inset];
  for (let i = 0; i < count; i++) {
    let sum = 0;
    for (let r = 0; r < ROWS; r++) {
      sum += lightAt(level, strip.at(from + i * STEP_PX, low + ((r + 0.5) / ROWS) * (high - low)));
    }
    light[i] = sum / ROWS;
  }
  return { start: from, stepPx: STEP_PX, light };
}

/** Between pixels the light is interpolated, not the grey values; NaN outside the picture. */
function lightAt({ widthPx, heightPx, grey, scale }: Level, { x, y }: Point): number {
  const px = x / scale - 0.5;
  const py = y / scale - 0.5;
  if (!(px >= 0 && py >= 0 && px <= widthPx - 1 && py <= heightPx - 1)) return Number.NaN;
  const at = Math.floor(py) * widthPx + Math.floor(px);
  const right = px > Math.floor(px) ? 1 : 0;
  const below = py > Math.floor(py) ? widthPx : 0;
  const fx = px - Math.floor(px);
  const fy = py - Math.floor(py);
  const light = (i: number) => LIGHT[Math.min(255, Math.max(0, Math.round(grey[i]!)))]!;
  const top = light(at) + fx * (light(at + right) - light(at));
  const bottom = light(at + below) + fx * (light(at + below + right) - light(at + below));
  return top + fy * (bottom - top);
}

/** The part of a profile between two places. */
export function partOf({ start, stepPx, light }: RowProfile, from: number, to: number): Float64Array {
  const first = Math.max(0, Math.ceil((from - start) / stepPx));
  return light.subarray(first, Math.max(first, Math.floor((to - start) / stepPx) + 1));
}
