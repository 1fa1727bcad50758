import { blurred, type Plane, resized, warped } from "../../align/plane.ts";
import { RGB_TO_XYZ_D65, srgbToLinear } from "../../colour/space.ts";
import { withVision } from "../../vision/opencv.ts";
import type { Laid } from "./laid-picture.ts";
import { lineOfText } from "./lettering.ts";

/** Full tone is reached at this difference of CIE lightness: that between lightly tanned and brown skin. */
const FULL_TONE_L = 20;
/** Tones that differ for the common colour deficiencies, equally far from the neutral grey in lightness. */
const LIGHTER = [236, 196, 92] as const;
const DARKER = [74, 58, 140] as const;
const NO_CHANGE = [150, 150, 150] as const;
const NOT_COVERED = [255, 255, 255] as const;
/** Detail finer than this is noise and the last fraction of a pixel of the alignment. */
const FINE_PX = 1.5;
/** Differences broader than this share of the frame are the light's, not the subject's. */
const BROAD_SHARE = 1 / 8;
const MOST_LIGHT_L = 6;

/**
 * The follow-up's lightness minus the baseline's, where both cover the frame: neutral grey where nothing changed, ochre where
 * it became lighter, violet where darker. Broad differences are taken out, since light never falls twice the same.
 */
export async function difference(baseline: Laid, followup: Laid, cover: Uint8Array): Promise<Laid> {
  const { widthPx, heightPx } = baseline;
  const n = widthPx * heightPx;
  const size = { widthPx, heightPx };
  const signed: Plane = { ...size, values: new Float32Array(n) };
  const covered: Plane = { ...size, values: Float32Array.from(cover) };
  for (let i = 0; i < n; i++) {
    if (cover[i]) signed.values[i] = lightnessOf(followup.rgb, 3 * i) - lightnessOf(baseline.rgb, 3 * i);
  }
  const [fine, broad] = await withVision((cv, scope): [Float32Array, Float32Array] => {
    // What changed strongly is the subject's: it must not count as light, or it would tint what lies round it.
    const mild = {
      ...signed,
      values: signed.values.map((v) => Math.max(-MOST_LIGHT_L, Math.min(MOST_LIGHT_L, v))),
    };
    const finely = (plane: Plane) => blurred(cv, scope, plane, FINE_PX).values;
    const broadly = (plane: Plane): Float32Array => {
      // At an eighth of the size: as smooth, and sixty-four times less work.
      const [w, h] = [Math.ceil(widthPx / 8), Math.ceil(heightPx / 8)];
      const small = blurred(cv, scope, resized(cv, scope, plane, w, h), BROAD_SHARE * Math.max(w, h));
      const back = [
        [widthPx / w, 0, 0],
        [0, heightPx / h, 0],
        [0, 0, 1],
      ] as const;
      return warped(cv, scope, small, back, size, 0).values;
    };
    return [shares(finely(signed), finely(covered)), shares(broadly(mild), broadly(covered))];
  });
  const rgb = new Uint8Array(3 * n);
  for (let i = 0; i < n; i++) rgb.set(cover[i] ? toneOf(fine[i]! - broad[i]!) : NOT_COVERED, 3 * i);
  return { ...size, rgb };
}

/** What is not covered does not count: the mean over what is. */
const shares = (sums: Float32Array, weights: Float32Array) =>
  sums.map((sum, i) => (weights[i]! > 0.001 ? sum / weights[i]! : 0));

function toneOf(differenceL: number): readonly [number, number, number] {
  const t = Math.max(-1, Math.min(1, differenceL / FULL_TONE_L));
  const end = t > 0 ? LIGHTER : DARKER;
  const mixed = (i: 0 | 1 | 2) => Math.round(NO_CHANGE[i] + Math.abs(t) * (end[i] - NO_CHANGE[i]));
  return [mixed(0), mixed(1), mixed(2)];
}

const LINEAR = Float32Array.from({ length: 256 }, (_, v) => srgbToLinear(v / 255));
const [RED, GREEN, BLUE] = RGB_TO_XYZ_D65[1];

/** CIE L* of an sRGB pixel. @source CIE15 */
function lightnessOf(rgb: Uint8Array, i: number): number {
  const y = RED * LINEAR[rgb[i]!]! + GREEN * LINEAR[rgb[i + 1]!]! + BLUE * LINEAR[rgb[i + 2]!]!;
  return y > (6 / 29) ** 3 ? 116 * Math.cbrt(y) - 16 : (29 / 3) ** 3 * y;
}

/** The tones in order with their meaning in words. */
export function toneLegend(widthPx: number, capPx: number, fill: string): { svg: string; heightPx: number } {
  const barPx = Math.min(widthPx, 30 * capPx);
  const steps = 61;
  const bar = Array.from({ length: steps }, (_, i) => {
    const tone = toneOf(FULL_TONE_L * ((2 * i) / (steps - 1) - 1));
    return `<rect x="${(i * barPx) / steps}" y="0" width="${barPx / steps + 0.5}" height="${1.4 * capPx}" fill="rgb(${tone})"/>`;
  });
  const how = { capPx: 0.85 * capPx, fill };
  const y = 3 * capPx;
  return {
    svg: [
      ...bar,
      lineOfText("darker now", 0, y, how),
      lineOfText("no change", barPx / 2 - 4 * capPx, y, how),
      lineOfText("lighter now", barPx - 7 * capPx, y, how),
    ].join(""),
    heightPx: 4.5 * capPx,
  };
}
