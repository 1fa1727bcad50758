import type { UprightPicture } from "../../decode/picture.ts";
import { BURNT_OUT } from "../clipping.ts";
import { type Correction, NO_TONE } from "../correction.ts";
import { deltaE00 } from "../delta-e00.ts";
import { linearToLabD50, luminanceOf, srgbToLinear, type Triple } from "../space.ts";

/** Left, top, right, bottom; pixels of the picture at hand, outer corners. */
export type Box = readonly [x0: number, y0: number, x1: number, y1: number];

export interface GreyCard {
  readonly correction: Correction;
  /** Brighter (+) or darker than the reflectance asks for; null when only neutrality was asked for. */
  readonly exposureStops: number | null;
  readonly castDeltaE00: number;
  readonly falloff: number;
  readonly warnings: readonly string[];
}

const CELLS = 12;
const LEAST_SIDE_PX = 4;
/** More than this share burnt out, and the mean is no colour any more. */
const MOST_BURNT_OUT = 0.01;
/** Coded mean below which noise and the file's steps are a tenth of the value: 3 % of full light. */
const LEAST_LEVEL = 0.2;
/** Brightest over darkest side. Below 15 % nobody moves a light; beyond 50 % the mean is of two places. */
const ODD_FALLOFF = 0.15;
const MOST_FALLOFF = 0.5;
/** What is left of the brightness beside a plane, as a share: paper and card show 1 to 3 %. */
const MOST_TEXTURE = 0.08;

/**
 * Lights of 2500 to 12000 K, seen with a white balance of 3200 to 7000 K, lie along a line: the greenness
 * ln(G² / RB) is 0.28 of the warmth ln(R / B), to within 0.1 (Kim2002). Lamps are a little greener or pinker than
 * that. All skins, cloth and blood are off it by 0.3 and more.
 */
const GREEN_PER_WARMTH = 0.28;
const ODD_TINT = 0.15;
const MOST_TINT = 0.25;
/** A lamp of 2700 K beside a white balance for daylight has 2.0. */
const MOST_WARMTH = 2.2;

/**
 * White balance and exposure from one even grey, in linear light: a gain for each channel. Nothing is known of any
 * other colour.
 *
 * @param reflectance of the card, 0 to 1; null: make it neutral and leave its brightness
 */
export function greyCard(
  picture: UprightPicture,
  box: Box,
  reflectance: number | null,
): GreyCard | { readonly reason: string } {
  const [x0, y0, x1, y1] = box;
  if (!(x0 >= 0 && y0 >= 0 && x1 <= picture.widthPx && y1 <= picture.heightPx)) {
    return { reason: "the grey card's box does not lie within the picture" };
  }
  if (!(x1 - x0 >= LEAST_SIDE_PX && y1 - y0 >= LEAST_SIDE_PX)) {
    return { reason: "the grey card's box is too small to be measured" };
  }
  const { cells, burntOut } = cellsOf(picture, box);
  if (burntOut > MOST_BURNT_OUT) {
    return { reason: `the grey card is burnt out (${(100 * burntOut).toFixed(0)} % of it)` };
  }
  const mean = meanOf(cells);
  const y = luminanceOf(mean);
  if (Math.min(...mean) <= 0 || y < srgbToLinear(LEAST_LEVEL)) {
    return { reason: "the grey card is too dark to be measured" };
  }
  const warmth = Math.log(mean[0] / mean[2]);
  const tint = Math.abs(Math.log(mean[1] ** 2 / (mean[0] * mean[2])) - GREEN_PER_WARMTH * warmth);
  if (Math.abs(warmth) > MOST_WARMTH || tint > MOST_TINT) {
    return { reason: "what lies there has a colour that no lamp gives to grey: it is not a grey card" };
  }
  const { falloff, texture } = evenness(cells);
  if (texture > MOST_TEXTURE || falloff > MOST_FALLOFF) {
    return { reason: "what lies there is not even: an edge, a shadow or a pattern crosses it" };
  }
  const target = reflectance ?? y;
  const gains = mean.map((value) => target / value);
  const lab = linearToLabD50(mean);
  return {
    correction: {
      kind: "white-balance",
      matrix: gains.map((gain, r) => [0, 1, 2].map((c) => (c === r ? gain : 0))),
      tone: NO_TONE,
    },
    exposureStops: reflectance === null ? null : Math.log2(y / reflectance),
    castDeltaE00: deltaE00(lab, [lab[0], 0, 0]),
    falloff,
    warnings: [
      ...(tint > ODD_TINT ? ["the card looks greener or pinker than a lamp makes a grey: is it grey?"] : []),
      ...(falloff > ODD_FALLOFF
        ? [
            `the light changes by ${Math.round(100 * falloff)} % over the grey card; the correction leaves that`,
          ]
        : []),
    ],
  };
}

/** Mean linear colour of each of CELLS × CELLS parts of the box, row by row. */
function cellsOf(
  { widthPx, rgb }: UprightPicture,
  [x0, y0, x1, y1]: Box,
): { cells: Triple[]; burntOut: number } {
  let [burnt, seen] = [0, 0];
  const count = Math.min(CELLS, Math.floor(Math.min(x1 - x0, y1 - y0)));
  const bound = (from: number, to: number, i: number) => Math.floor(from + ((to - from) * i) / count);
  const cells: Triple[] = [];
  for (let j = 0; j < count; j++) {
    for (let i = 0; i < count; i++) {
      const sums = [0, 0, 0];
      let n = 0;
      for (let y = bound(y0, y1, j); y < bound(y0, y1, j + 1); y++) {
        for (let x = bound(x0, x1, i); x < bound(x0, x1, i + 1); x++, n++) {
          const at = 3 * (y * widthPx + x);
          let most = 0;
          for (const c of [0, 1, 2] as const) {
            const value = rgb[at + c]!;
            sums[c]! += srgbToLinear(value / 255);
            most = Math.max(most, value);
          }
          if (most >= BURNT_OUT) burnt++;
        }
      }
      seen += n;
      cells.push([sums[0]! / n, sums[1]! / n, sums[2]! / n]);
    }
  }
  return { cells, burntOut: burnt / seen };
}

function meanOf(cells: readonly Triple[]): Triple {
  const mean = (c: 0 | 1 | 2) => cells.reduce((s, cell) => s + cell[c], 0) / cells.length;
  return [mean(0), mean(1), mean(2)];
}

/** A plane through the logarithms of luminance over the square of cells, and what is left beside it. */
function evenness(cells: readonly Triple[]): { falloff: number; texture: number } {
  const side = Math.sqrt(cells.length);
  const logs = cells.map((cell) => Math.log(Math.max(1e-6, luminanceOf(cell))));
  const centred = (i: number) => i - (side - 1) / 2;
  const mean = logs.reduce((s, v) => s + v, 0) / logs.length;
  const spread = logs.reduce((s, _, k) => s + centred(k % side) ** 2, 0);
  const across = logs.reduce((s, v, k) => s + v * centred(k % side), 0) / spread;
  const down = logs.reduce((s, v, k) => s + v * centred(Math.floor(k / side)), 0) / spread;
  const left = logs.map(
    (v, k) => v - mean - across * centred(k % side) - down * centred(Math.floor(k / side)),
  );
  return {
    falloff: Math.exp((Math.abs(across) + Math.abs(down)) * (side - 1)) - 1,
    texture: Math.sqrt(left.reduce((s, v) => s + v * v, 0) / left.length),
  };
}
