import type { Strip } from "../raster/strip.ts";

/** How far, in px, a straight movement spreads light. */
export const motionReachPx = (lengthPx: number): number => (lengthPx > 0 ? Math.ceil(lengthPx / 2) + 1 : 0);

/**
 * Mean along a straight path centred on each pixel. `out` lies inside `from` with `motionReachPx` to spare. The path
 * is sampled twice per px with bilinear weights.
 */
export function motionBlur(from: Strip, out: Strip, lengthPx: number, directionDeg: number): void {
  const samples = Math.max(2, Math.ceil(lengthPx * 2));
  const c = Math.cos((directionDeg * Math.PI) / 180);
  const s = Math.sin((directionDeg * Math.PI) / 180);
  const planes = [
    [from.r, out.r],
    [from.g, out.g],
    [from.b, out.b],
  ] as const;
  for (const [, target] of planes) target.fill(0, 0, out.width * out.height);
  for (let i = 0; i < samples; i++) {
    const along = ((i + 0.5) / samples - 0.5) * lengthPx;
    const dx = along * c;
    const dy = along * s;
    const ix = Math.floor(dx);
    const iy = Math.floor(dy);
    const fx = dx - ix;
    const fy = dy - iy;
    const weights = [(1 - fx) * (1 - fy), fx * (1 - fy), (1 - fx) * fy, fx * fy].map((w) => w / samples);
    const [w00, w10, w01, w11] = weights as [number, number, number, number];
    for (const [source, target] of planes) {
      for (let y = 0; y < out.height; y++) {
        let p = (out.y0 + y + iy - from.y0) * from.width + out.x0 + ix - from.x0;
        let q = y * out.width;
        for (let x = 0; x < out.width; x++, p++, q++) {
          target[q] =
            target[q]! +
            w00 * source[p]! +
            w10 * source[p + 1]! +
            w01 * source[p + from.width]! +
            w11 * source[p + from.width + 1]!;
        }
      }
    }
  }
}
