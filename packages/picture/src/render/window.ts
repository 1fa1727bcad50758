import type { Matrix3 } from "../answers.ts";
import { correctPicture } from "../colour/correct-picture.ts";
import type { DescribedCorrection } from "../colour-answers.ts";
import { decodePicture } from "../decode/decode.ts";
import type { UprightPicture } from "../decode/picture.ts";
import { sharp } from "../decode/sharp.ts";

export interface WindowInput {
  readonly file: string;
  /** From pixels of the window to full-size upright pixels of the file (outer-corner coordinates on both sides). */
  readonly windowToPicture: Matrix3;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Colours shown corrected, as an answer of the colour steps describes it. */
  readonly correction?: DescribedCorrection;
}

export interface WindowAnswer {
  readonly jpeg: Uint8Array;
  /** Share of the window that the picture covers, 0 to 1. */
  readonly covered: number;
}

/** JPEG quality for print: differences from the original are below what a printer shows. Common practice, no source. */
const PRINT_QUALITY = 90;
/** What lies outside the picture is mid grey, so that it is not taken for a black or white part of the subject. */
const OUTSIDE = 128;

/**
 * A window of a photograph as JPEG: any crop, turn, mirror or perspective that the matrix says. A derivative: the
 * original is only read.
 */
export async function windowOfFile(input: WindowInput): Promise<WindowAnswer> {
  const picture = await decodePicture(input.file);
  const { rgb: seen, covered } = warp(picture, input);
  const { widthPx, heightPx, correction } = input;
  const rgb = correction ? correctPicture({ widthPx, heightPx, rgb: seen }, correction).rgb : seen;
  const jpeg = await sharp(rgb, { raw: { width: widthPx, height: heightPx, channels: 3 } })
    .withIccProfile("srgb")
    .jpeg({ quality: PRINT_QUALITY, chromaSubsampling: "4:4:4" })
    .toBuffer();
  return { jpeg, covered };
}

/**
 * Resamples by inverse mapping: bilinear, averaging several samples a pixel where the window reduces the picture, so
 * that fine texture does not alias.
 */
export function warp(
  picture: UprightPicture,
  window: Pick<WindowInput, "windowToPicture" | "widthPx" | "heightPx">,
): { rgb: Uint8Array; covered: number } {
  const { widthPx, heightPx, windowToPicture: h } = window;
  const rgb = new Uint8Array(widthPx * heightPx * 3).fill(OUTSIDE);
  const samples = samplesPerSide(h, widthPx, heightPx);
  let inside = 0;
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      let [r, g, b, n] = [0, 0, 0, 0];
      for (let j = 0; j < samples; j++) {
        for (let i = 0; i < samples; i++) {
          const wx = x + (i + 0.5) / samples;
          const wy = y + (j + 0.5) / samples;
          const w = h[2][0] * wx + h[2][1] * wy + h[2][2];
          const px = (h[0][0] * wx + h[0][1] * wy + h[0][2]) / w - 0.5;
          const py = (h[1][0] * wx + h[1][1] * wy + h[1][2]) / w - 0.5;
          const x0 = Math.floor(px);
          const y0 = Math.floor(py);
          if (!(x0 >= 0 && y0 >= 0 && x0 + 1 < picture.widthPx && y0 + 1 < picture.heightPx)) continue;
          const fx = px - x0;
          const fy = py - y0;
          const at = (y0 * picture.widthPx + x0) * 3;
          const below = at + picture.widthPx * 3;
          const weights = [(1 - fx) * (1 - fy), fx * (1 - fy), (1 - fx) * fy, fx * fy] as const;
          r += mix(picture.rgb, at, below, 0, weights);
          g += mix(picture.rgb, at, below, 1, weights);
          b += mix(picture.rgb, at, below, 2, weights);
          n++;
        }
      }
      if (n === 0) continue;
      inside++;
      const out = (y * widthPx + x) * 3;
      rgb[out] = Math.round(r / n);
      rgb[out + 1] = Math.round(g / n);
      rgb[out + 2] = Math.round(b / n);
    }
  }
  return { rgb, covered: inside / (widthPx * heightPx) };
}

type Weights = readonly [number, number, number, number];

function mix(rgb: Uint8Array, at: number, below: number, channel: number, w: Weights): number {
  return (
    w[0] * rgb[at + channel]! +
    w[1] * rgb[at + 3 + channel]! +
    w[2] * rgb[below + channel]! +
    w[3] * rgb[below + 3 + channel]!
  );
}

/** How many picture pixels one window pixel spans in the middle, at most 4: beyond that the eye sees no gain. */
function samplesPerSide(h: Matrix3, widthPx: number, heightPx: number): number {
  const map = (x: number, y: number): [number, number] => {
    const w = h[2][0] * x + h[2][1] * y + h[2][2];
    return [(h[0][0] * x + h[0][1] * y + h[0][2]) / w, (h[1][0] * x + h[1][1] * y + h[1][2]) / w];
  };
  const [ax, ay] = map(widthPx / 2, heightPx / 2);
  const [bx, by] = map(widthPx / 2 + 1, heightPx / 2);
  return Math.max(1, Math.min(4, Math.round(Math.hypot(bx - ax, by - ay))));
}
