import type { Level } from "./pyramid.ts";

/**
 * Grey values along a straight line, bilinear, in pixels of the level. Points outside the picture are NaN: what
 * is not in the picture is not evidence.
 */
export function sampleLine(
  level: Level,
  x: number,
  y: number,
  stepX: number,
  stepY: number,
  out: Float32Array,
): void {
  const { widthPx: width, heightPx: height, grey } = level;
  let px = x - 0.5;
  let py = y - 0.5;
  for (let i = 0; i < out.length; i++, px += stepX, py += stepY) {
    if (px < -0.5 || py < -0.5 || px > width - 0.5 || py > height - 0.5) {
      out[i] = Number.NaN;
      continue;
    }
    const cx = px < 0 ? 0 : Math.min(px, width - 1);
    const cy = py < 0 ? 0 : Math.min(py, height - 1);
    const x0 = cx === width - 1 && cx > 0 ? cx - 1 : Math.floor(cx);
    const y0 = cy === height - 1 && cy > 0 ? cy - 1 : Math.floor(cy);
    const fx = cx - x0;
    const fy = cy - y0;
    const a = y0 * width + x0;
    const right = width > 1 ? 1 : 0;
    const b = height > 1 ? a + width : a;
    const top = grey[a]! + (grey[a + right]! - grey[a]!) * fx;
    const bottom = grey[b]! + (grey[b + right]! - grey[b]!) * fx;
    out[i] = top + (bottom - top) * fy;
  }
}

/** The level in which a pitch of `pitchPx` picture pixels comes nearest to `wantedPx`, never coarser than that. */
export function levelForPitch(levels: readonly Level[], pitchPx: number, wantedPx: number): Level {
  let best = levels[0] as Level;
  for (const level of levels) if (pitchPx / level.scale >= wantedPx) best = level;
  return best;
}
