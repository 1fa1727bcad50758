import type { UprightPicture } from "../decode/picture.ts";

/**
 * The picture at the bounded size the outline is found at: colour as L*a*b* (D65, IEC 61966-2-1 decoding) with
 * lightness weighted down, since a shadow across the skin is mostly a step in lightness, an edge of a wound rarely.
 */
export interface WorkPicture {
  /** Level 0 has the work size; each further level is half as large. */
  readonly levels: readonly LabLevel[];
  readonly widthPx: number;
  readonly heightPx: number;
  /** Full-size pixels per work pixel, across and down. */
  readonly fullPerWorkX: number;
  readonly fullPerWorkY: number;
  /** 1 where the picture is black padding, which is never part of an outline. */
  readonly padding: Uint8Array;
}

export interface LabLevel {
  readonly widthPx: number;
  readonly heightPx: number;
  /** L * 0.6, a, b interleaved. */
  readonly lab: Float32Array;
}

/** Side that radii are stated for: "10 px of 512" is about 2 % of the longer side. */
export const WORK_SIDE_PX = 512;
const LIGHTNESS_WEIGHT = 0.6;

/**
 * @param fullWidthPx, fullHeightPx size of the upright original, when `picture` is already reduced
 */
export function workPicture(
  picture: UprightPicture,
  fullWidthPx = picture.widthPx,
  fullHeightPx = picture.heightPx,
): WorkPicture {
  const shrink = Math.max(1, Math.max(picture.widthPx, picture.heightPx) / WORK_SIDE_PX);
  const widthPx = Math.max(1, Math.round(picture.widthPx / shrink));
  const heightPx = Math.max(1, Math.round(picture.heightPx / shrink));
  const rgb = shrinkRgb(picture, widthPx, heightPx);
  const levels: LabLevel[] = [{ widthPx, heightPx, lab: labOf(rgb) }];
  for (let last = levels[0]!; Math.min(last.widthPx, last.heightPx) > 32; last = levels.at(-1)!) {
    levels.push(halve(last));
  }
  return {
    levels,
    widthPx,
    heightPx,
    fullPerWorkX: fullWidthPx / widthPx,
    fullPerWorkY: fullHeightPx / heightPx,
    padding: findPadding(rgb, widthPx, heightPx),
  };
}

/** Mean of the source area under each target pixel, exact for any ratio; two passes, one per axis. */
export function shrinkRgb(picture: UprightPicture, widthPx: number, heightPx: number): Float32Array {
  const { rgb, widthPx: w, heightPx: h } = picture;
  if (w === widthPx && h === heightPx) return Float32Array.from(rgb);
  const across = coverage(w, widthPx);
  const down = coverage(h, heightPx);
  const out = new Float32Array(widthPx * heightPx * 3);
  const row = new Float32Array(w * 3);
  for (let y = 0; y < heightPx; y++) {
    row.fill(0);
    for (let s = down.first[y]!; s <= down.last[y]!; s++) {
      const weight = down.weight(y, s);
      const from = s * w * 3;
      for (let i = 0; i < row.length; i++) row[i] = row[i]! + weight * rgb[from + i]!;
    }
    for (let x = 0; x < widthPx; x++) {
      let r = 0;
      let g = 0;
      let b = 0;
      for (let s = across.first[x]!; s <= across.last[x]!; s++) {
        const weight = across.weight(x, s);
        r += weight * row[3 * s]!;
        g += weight * row[3 * s + 1]!;
        b += weight * row[3 * s + 2]!;
      }
      const o = 3 * (y * widthPx + x);
      out[o] = r;
      out[o + 1] = g;
      out[o + 2] = b;
    }
  }
  return out;
}

/** Which source cells lie under each target cell, and the share each of them has in it. */
function coverage(from: number, to: number) {
  const ratio = from / to;
  const first = Int32Array.from({ length: to }, (_, i) => Math.floor(i * ratio));
  const last = Int32Array.from({ length: to }, (_, i) => Math.min(from - 1, Math.ceil((i + 1) * ratio) - 1));
  const weight = (target: number, source: number) =>
    (Math.min(source + 1, (target + 1) * ratio) - Math.max(source, target * ratio)) / ratio;
  return { first, last, weight };
}

const LINEAR = Float32Array.from({ length: 256 }, (_, i) => {
  const v = i / 255;
  return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
});

/** sRGB 0..255 to L*a*b* relative to D65, with L times the lightness weight. */
export function labOf(rgb: Float32Array): Float32Array {
  const lab = new Float32Array(rgb.length);
  for (let i = 0; i < rgb.length; i += 3) {
    const r = linear(rgb[i]!);
    const g = linear(rgb[i + 1]!);
    const b = linear(rgb[i + 2]!);
    const x = cubeRootish((0.4124564 * r + 0.3575761 * g + 0.1804375 * b) / 0.95047);
    const y = cubeRootish(0.2126729 * r + 0.7151522 * g + 0.072175 * b);
    const z = cubeRootish((0.0193339 * r + 0.119192 * g + 0.9503041 * b) / 1.08883);
    lab[i] = LIGHTNESS_WEIGHT * (116 * y - 16);
    lab[i + 1] = 500 * (x - y);
    lab[i + 2] = 200 * (y - z);
  }
  return lab;
}

function linear(value: number): number {
  const i = Math.min(254, Math.floor(value));
  return LINEAR[i]! + (value - i) * (LINEAR[i + 1]! - LINEAR[i]!);
}

const cubeRootish = (t: number) => (t > 216 / 24389 ? Math.cbrt(t) : (24389 / 27 / 116) * t + 16 / 116);

function halve(level: LabLevel): LabLevel {
  const widthPx = level.widthPx >> 1;
  const heightPx = level.heightPx >> 1;
  const lab = new Float32Array(widthPx * heightPx * 3);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      const a = 3 * (2 * y * level.widthPx + 2 * x);
      const b = a + 3 * level.widthPx;
      const o = 3 * (y * widthPx + x);
      for (let c = 0; c < 3; c++) {
        lab[o + c] =
          (level.lab[a + c]! + level.lab[a + 3 + c]! + level.lab[b + c]! + level.lab[b + 3 + c]!) / 4;
      }
    }
  }
  return { widthPx, heightPx, lab };
}

/** Darker than this in every channel is "black": padding is 0, and lossy compression rings by a few steps. */
const BLACK = 14;
/** A black part smaller than this share of the picture is a shadow or a hair, not padding. */
const PADDING_SHARE = 0.01;

/** Black parts that touch the border and are large. */
function findPadding(rgb: Float32Array, widthPx: number, heightPx: number): Uint8Array {
  const n = widthPx * heightPx;
  const black = new Uint8Array(n);
  for (let i = 0; i < n; i++) {
    black[i] = rgb[3 * i]! < BLACK && rgb[3 * i + 1]! < BLACK && rgb[3 * i + 2]! < BLACK ? 1 : 0;
  }
  const padding = new Uint8Array(n);
  const stack: number[] = [];
  const part: number[] = [];
  const visit = (i: number) => {
    if (!black[i]) return;
    black[i] = 0;
    stack.push(i);
  };
  const grow = (start: number) => {
    part.length = 0;
    visit(start);
    for (let i = stack.pop(); i !== undefined; i = stack.pop()) {
      part.push(i);
      const x = i % widthPx;
      if (x > 0) visit(i - 1);
      if (x + 1 < widthPx) visit(i + 1);
      if (i >= widthPx) visit(i - widthPx);
      if (i + widthPx < n) visit(i + widthPx);
    }
    if (part.length >= PADDING_SHARE * n) for (const i of part) padding[i] = 1;
  };
  for (let x = 0; x < widthPx; x++) {
    grow(x);
    grow(n - widthPx + x);
  }
  for (let y = 0; y < heightPx; y++) {
    grow(y * widthPx);
    grow(y * widthPx + widthPx - 1);
  }
  return padding;
}
