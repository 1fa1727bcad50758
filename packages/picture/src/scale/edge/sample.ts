import type { Point } from "@samescale/geometry";
import type { GreyPicture } from "../../decode/picture.ts";
import type { Level } from "../search/pyramid.ts";

/**
 * Grey values along a straight line, in pixels of the level. Points outside the picture are NaN: what is not in the
 * picture is not evidence.
 */
export function sampleLine(
  level: Level,
  x: number,
  y: number,
  stepX: number,
  stepY: number,
  out: Float32Array,
): void {
  for (let i = 0; i < out.length; i++) out[i] = bilinear(level, x + i * stepX, y + i * stepY);
}

/** Grey value of the picture point `p`, from the given level; NaN outside. */
export function greyAt(level: Level, { x, y }: Point): number {
  return bilinear(level, x / level.scale, y / level.scale);
}

function bilinear({ widthPx: width, heightPx: height, grey }: GreyPicture, px: number, py: number): number {
  if (!(px >= 0 && py >= 0 && px <= width && py <= height)) return Number.NaN;
  // Pixel centres; the outer half pixel repeats the border.
  const x = Math.min(Math.max(px - 0.5, 0), width - 1);
  const y = Math.min(Math.max(py - 0.5, 0), height - 1);
  const x0 = Math.floor(x);
  const y0 = Math.floor(y);
  const right = x0 + 1 < width ? 1 : 0;
  const a = y0 * width + x0;
  const b = y0 + 1 < height ? a + width : a;
  const fx = x - x0;
  const top = grey[a]! + (grey[a + right]! - grey[a]!) * fx;
  const bottom = grey[b]! + (grey[b + right]! - grey[b]!) * fx;
  return top + (bottom - top) * (y - y0);
}

/** The level in which a pitch of `pitchPx` picture pixels comes nearest to `wantedPx`, never coarser than that. */
export function levelForPitch(levels: readonly Level[], pitchPx: number, wantedPx: number): Level {
  let best = levels[0] as Level;
  for (const level of levels) if (pitchPx / level.scale >= wantedPx) best = level;
  return best;
}
