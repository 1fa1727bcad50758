import { composeHomographies, invertHomography, type Matrix3 } from "@samescale/geometry";
import { bendAt } from "../../align/bending.ts";
import type { Bending } from "../../answers.ts";
import { decodePicture } from "../../decode/decode.ts";
import { fittingSize, type Size } from "../../decode/fitting-size.ts";
import type { UprightPicture } from "../../decode/picture.ts";
import { warp } from "../window.ts";

/** Pixels in the frame that all pictures of a comparison share. */
export type Laid = UprightPicture;

/** The baseline's frame at the size in which pictures are compared. */
export interface Frame extends Size {
  /** Baseline px → px of the frame. */
  readonly fromBaseline: Matrix3;
}

export function frameOf(baseline: Size, longSidePx: number): Frame {
  const { widthPx, heightPx } = fittingSize(baseline, longSidePx);
  return {
    widthPx,
    heightPx,
    fromBaseline: scaling(widthPx / baseline.widthPx, heightPx / baseline.heightPx),
  };
}

/** Twice the frame's own pixels: what is enlarged a little keeps its detail, and 24 million pixels are not needed. */
const DECODED_PER_FRAME_PX = 2;

/**
 * A photograph as it lies in the frame. Outside it is mid grey.
 * @param toBaseline its px → baseline px, full sizes
 */
export async function laidPicture(file: string, toBaseline: Matrix3, frame: Frame): Promise<Laid> {
  const most = DECODED_PER_FRAME_PX * Math.max(frame.widthPx, frame.heightPx);
  const picture = await decodePicture(file, { maxSidePx: most });
  const decoded = scaling(picture.widthPx / picture.fullWidthPx, picture.heightPx / picture.fullHeightPx);
  const toPicture = frameToPicture(frame, toBaseline);
  const { rgb } = warp(picture, { ...frame, windowToPicture: composeHomographies(decoded, toPicture) });
  return { widthPx: frame.widthPx, heightPx: frame.heightPx, rgb };
}

/** Pixels of the frame to those of a photograph. */
export const frameToPicture = (frame: Frame, toBaseline: Matrix3): Matrix3 =>
  invertHomography(composeHomographies(frame.fromBaseline, toBaseline));

/** What lies a little off the plane's map brought to its place; where the field is still, pixels stay as they are. */
export function bent(laid: Laid, { columns, rows, stepPx, shifts }: BendField, frame: Frame): Laid {
  const k = frame.fromBaseline[0][0];
  const { widthPx, heightPx } = laid;
  const rgb = laid.rgb.slice();
  const grid = { columns, rows, stepPx: k * stepPx };
  for (let y = 0, i = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++, i += 3) {
      const [dx, dy] = bendAt(shifts, grid, x + 0.5, y + 0.5);
      if (dx === 0 && dy === 0) continue;
      const [px, py] = [x + k * dx, y + k * dy];
      const x0 = Math.max(0, Math.min(widthPx - 2, Math.floor(px)));
      const y0 = Math.max(0, Math.min(heightPx - 2, Math.floor(py)));
      const [fx, fy] = [Math.max(0, Math.min(1, px - x0)), Math.max(0, Math.min(1, py - y0))];
      const at = 3 * (y0 * widthPx + x0);
      const below = at + 3 * widthPx;
      for (let c = 0; c < 3; c++) {
        const top = (1 - fx) * laid.rgb[at + c]! + fx * laid.rgb[at + 3 + c]!;
        const low = (1 - fx) * laid.rgb[below + c]! + fx * laid.rgb[below + 3 + c]!;
        rgb[i + c] = Math.round((1 - fy) * top + fy * low);
      }
    }
  }
  return { widthPx, heightPx, rgb };
}

type BendField = NonNullable<Bending["field"]>;

/** Where a window is covered: 1 inside the photograph, 0 outside. @param h window px → photograph px */
export function coverOf(photograph: Size, window: Size, h: Matrix3): Uint8Array {
  const cover = new Uint8Array(window.widthPx * window.heightPx);
  for (let y = 0, i = 0; y < window.heightPx; y++) {
    for (let x = 0; x < window.widthPx; x++, i++) {
      const w = h[2][0] * (x + 0.5) + h[2][1] * (y + 0.5) + h[2][2];
      const px = (h[0][0] * (x + 0.5) + h[0][1] * (y + 0.5) + h[0][2]) / w;
      const py = (h[1][0] * (x + 0.5) + h[1][1] * (y + 0.5) + h[1][2]) / w;
      cover[i] = px > 1 && py > 1 && px < photograph.widthPx - 1 && py < photograph.heightPx - 1 ? 1 : 0;
    }
  }
  return cover;
}

/** The whole photograph inside the frame, as large as fits: for one that could not be laid over the baseline. */
export function wholeInFrame(photograph: Size, baseline: Size): Matrix3 {
  const k = Math.min(baseline.widthPx / photograph.widthPx, baseline.heightPx / photograph.heightPx);
  return centred(photograph, baseline, k);
}

/** Middle on middle, `k` times as large. */
export function centred(photograph: Size, baseline: Size, k: number): Matrix3 {
  return [
    [k, 0, (baseline.widthPx - k * photograph.widthPx) / 2],
    [0, k, (baseline.heightPx - k * photograph.heightPx) / 2],
    [0, 0, 1],
  ];
}

const scaling = (x: number, y: number): Matrix3 => [
  [x, 0, 0],
  [0, y, 0],
  [0, 0, 1],
];
