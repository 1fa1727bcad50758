import type { Matrix3 } from "@samescale/geometry";
import type { GreyPicture } from "../../src/decode/picture.ts";

// A minimal camera for tests, independent of the code under test: a flat drawing in millimetres, seen through an exact
// homography, averaged over each pixel, blurred and noised. Its truth is known to rounding.

/** Grey value 0 to 255 at a place of the plane. */
export type Drawing = (xMm: number, yMm: number) => number;

export interface Shot {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Plane millimetres to upright pixels. */
  readonly mmToPx: Matrix3;
  readonly random: () => number;
  /** Standard deviation of the noise, grey levels. */
  readonly noise?: number;
  /** Points per pixel and direction. */
  readonly oversampling?: number;
  /** Passes of a 3 x 3 box: each blurs by 0.8 px. */
  readonly blurs?: number;
}

export function photograph(draw: Drawing, shot: Shot): GreyPicture {
  const { widthPx, heightPx } = shot;
  const inverse = inverseOf(shot.mmToPx);
  const n = shot.oversampling ?? 4;
  let grey = new Float32Array(widthPx * heightPx);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      let sum = 0;
      for (let j = 0; j < n; j++) {
        for (let i = 0; i < n; i++) {
          const [X, Y] = through(inverse, x + (i + 0.5) / n, y + (j + 0.5) / n);
          sum += draw(X, Y);
        }
      }
      grey[y * widthPx + x] = sum / (n * n);
    }
  }
  for (let i = 0; i < (shot.blurs ?? 1); i++) grey = boxBlurred(grey, widthPx, heightPx);
  const sigma = shot.noise ?? 2;
  for (let i = 0; i < grey.length; i++) {
    // Sum of four uniforms: near enough to a normal, variance 4/12.
    const z = (shot.random() + shot.random() + shot.random() + shot.random() - 2) * Math.sqrt(3);
    grey[i] = Math.min(255, Math.max(0, Math.round(grey[i]! + sigma * z)));
  }
  return { widthPx, heightPx, grey };
}

/** A pinhole camera over the plane: millimetres to pixels, and what it should be read as. */
export interface Pose {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Pixels per millimetre at the centre of the picture, square to the line of sight. */
  readonly pxPerMm: number;
  /** Focal length (image distance) in pixels. */
  readonly focalPx: number;
  /** Lean of the plane, and the picture direction (0 right, 90 down) in which it recedes. */
  readonly tiltDeg: number;
  readonly recedesDeg: number;
  /** Turn of the plane in itself. */
  readonly rollDeg: number;
  /** Plane point at the centre of the picture. */
  readonly centreMm: readonly [number, number];
}

export function poseHomography(p: Pose): Matrix3 {
  const rad = Math.PI / 180;
  const distance = p.focalPx / p.pxPerMm;
  const [cr, sr] = [Math.cos(p.rollDeg * rad), Math.sin(p.rollDeg * rad)];
  const [ct, st] = [Math.cos(p.tiltDeg * rad), Math.sin(p.tiltDeg * rad)];
  const [ca, sa] = [Math.cos(p.recedesDeg * rad), Math.sin(p.recedesDeg * rad)];
  // Plane point (X, Y) -> turned (x, y) -> components along and across the direction of recession.
  const camera = (X: number, Y: number): [number, number, number] => {
    const dx = X - p.centreMm[0];
    const dy = Y - p.centreMm[1];
    const x = cr * dx - sr * dy;
    const y = sr * dx + cr * dy;
    const along = ca * x + sa * y;
    const across = -sa * x + ca * y;
    return [ca * along * ct - sa * across, sa * along * ct + ca * across, distance + along * st];
  };
  const o = camera(0, 0);
  const a = camera(1, 0).map((v, i) => v - o[i]!);
  const b = camera(0, 1).map((v, i) => v - o[i]!);
  const [cx, cy] = [p.widthPx / 2, p.heightPx / 2];
  const column = (v: readonly number[]) => [
    p.focalPx * v[0]! + cx * v[2]!,
    p.focalPx * v[1]! + cy * v[2]!,
    v[2]!,
  ];
  const [A, B, C] = [column(a), column(b), column(o)];
  return [
    [A[0]!, B[0]!, C[0]!],
    [A[1]!, B[1]!, C[1]!],
    [A[2]!, B[2]!, C[2]!],
  ];
}

export function through(h: Matrix3, x: number, y: number): [number, number] {
  const w = h[2][0] * x + h[2][1] * y + h[2][2];
  return [(h[0][0] * x + h[0][1] * y + h[0][2]) / w, (h[1][0] * x + h[1][1] * y + h[1][2]) / w];
}

/** Picture pixels per plane millimetre at a picture point, along a picture direction (unit vector). */
export function localPxPerMm(mmToPx: Matrix3, x: number, y: number, ux: number, uy: number): number {
  const inverse = inverseOf(mmToPx);
  const d = 1e-3;
  const [x0, y0] = through(inverse, x - d * ux, y - d * uy);
  const [x1, y1] = through(inverse, x + d * ux, y + d * uy);
  return (2 * d) / Math.hypot(x1 - x0, y1 - y0);
}

function inverseOf([[a, b, c], [d, e, f], [g, h, i]]: Matrix3): Matrix3 {
  const det = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
  return [
    [(e * i - f * h) / det, (c * h - b * i) / det, (b * f - c * e) / det],
    [(f * g - d * i) / det, (a * i - c * g) / det, (c * d - a * f) / det],
    [(d * h - e * g) / det, (b * g - a * h) / det, (a * e - b * d) / det],
  ];
}

function boxBlurred(from: Float32Array, width: number, height: number): Float32Array<ArrayBuffer> {
  const out = new Float32Array(from.length);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let sum = 0;
      for (let j = -1; j <= 1; j++) {
        const row = Math.min(height - 1, Math.max(0, y + j)) * width;
        for (let i = -1; i <= 1; i++) sum += from[row + Math.min(width - 1, Math.max(0, x + i))]!;
      }
      out[y * width + x] = sum / 9;
    }
  }
  return out;
}
