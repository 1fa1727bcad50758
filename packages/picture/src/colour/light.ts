import { CHART_COLUMNS, FIRST_NEUTRAL } from "./chart24.ts";
import { type Correction, corrected } from "./correction.ts";
import type { MeasuredPatch } from "./measure-chart.ts";
import { labToXyz, multiply, RGB_TO_XYZ_D65, srgbToLinear, type Triple, WHITE_D50 } from "./space.ts";

const luminance = (rgb: Triple): number => multiply(RGB_TO_XYZ_D65, rgb)[1];

/**
 * How many stops the picture is brighter (+) or darker (−) than the chart's greys should be: the median over the
 * greys that kept their detail, of the file's values as they are. Null without any.
 */
export function exposureStops(patches: readonly MeasuredPatch[]): number | null {
  const stops = patches.slice(FIRST_NEUTRAL).flatMap(({ seen, labD50, leftOut }) => {
    if (!seen || leftOut !== null) return [];
    const [r, g, b] = seen.mean;
    const y = luminance([srgbToLinear(r), srgbToLinear(g), srgbToLinear(b)]);
    return y > 0 ? [Math.log2(y / labToXyz(labD50, WHITE_D50)[1])] : [];
  });
  stops.sort((a, b) => a - b);
  return stops[Math.floor(stops.length / 2)] ?? null;
}

/**
 * By how much the light changes over the chart, brightest over darkest place minus 1: a plane through the logarithms
 * of corrected over reference luminance. The correction does not remove it.
 */
export function lightFalloff(patches: readonly MeasuredPatch[], correction: Correction): number {
  const points = patches.flatMap(({ seen, labD50, leftOut }, i) => {
    if (!seen || leftOut !== null) return [];
    const y = luminance(corrected(correction, seen.mean));
    if (!(y > 0)) return [];
    const [column, row] = [i % CHART_COLUMNS, Math.floor(i / CHART_COLUMNS)];
    return [{ u: column - 2.5, v: row - 1.5, gain: Math.log(y / labToXyz(labD50, WHITE_D50)[1]) }];
  });
  const mean = (of: (p: (typeof points)[number]) => number) =>
    points.reduce((s, p) => s + of(p), 0) / points.length;
  const [mu, mv, mg] = [mean((p) => p.u), mean((p) => p.v), mean((p) => p.gain)];
  const uu = mean((p) => (p.u - mu) ** 2);
  const vv = mean((p) => (p.v - mv) ** 2);
  const uv = mean((p) => (p.u - mu) * (p.v - mv));
  const ug = mean((p) => (p.u - mu) * (p.gain - mg));
  const vg = mean((p) => (p.v - mv) * (p.gain - mg));
  const det = uu * vv - uv * uv;
  const along = (ug * vv - vg * uv) / det;
  const down = (vg * uu - ug * uv) / det;
  return Math.exp(Math.abs(along) * 5 + Math.abs(down) * 3) - 1;
}
