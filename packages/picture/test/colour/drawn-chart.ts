import { applyHomography, fitHomography, invertHomography, type Matrix3 } from "@samescale/geometry";
import { CHART24 } from "../../src/colour/chart24.ts";
import { labD50ToLinear, linearToSrgb, srgbToLinear, type Triple } from "../../src/colour/space.ts";
import type { UprightPicture } from "../../src/decode/picture.ts";

/** Charts drawn for the tests; colours are gamma-coded, 0 to 1. */
export type Colour = (x: number, y: number) => Triple;

const coded = (rgb: Triple): Triple => [code(rgb[0]), code(rgb[1]), code(rgb[2])];
const code = (v: number) => linearToSrgb(Math.min(1, Math.max(0, v)));

export const PATCHES: readonly Triple[] = CHART24.map((p) => coded(labD50ToLinear(p.labD50["after-2014"])));

export const SURROUND: Triple = [0.16, 0.16, 0.17];

/** In cells: the middle of patch 1 at (0, 0), of black at (5, 3). Patches take 0.8 of a cell; null beyond the card. */
export function chartAt(u: number, v: number, patches: readonly Triple[], columns = 6): Triple | null {
  const rows = patches.length / columns;
  if (u < -0.7 || v < -0.7 || u > columns - 0.3 || v > rows - 0.3) return null;
  const [c, r] = [Math.round(u), Math.round(v)];
  const inside = Math.abs(u - c) < 0.4 && Math.abs(v - r) < 0.4;
  if (!inside || c < 0 || r < 0 || c >= columns || r >= rows) return SURROUND;
  return patches[r * columns + c]!;
}

/** The chart's four corner patches (dark skin, bluish green, black, white) put to these places in the picture. */
export function cellsToPx(corners: readonly (readonly [number, number])[]): Matrix3 {
  const cells = [
    [0, 0],
    [5, 0],
    [5, 3],
    [0, 3],
  ] as const;
  const fit = fitHomography(
    corners.map(([x, y], i) => ({ from: { x: cells[i]![0], y: cells[i]![1] }, to: { x, y } })),
  );
  if (!fit.ok) throw new Error(fit.reason);
  return fit.homography;
}

export interface Drawing {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly background: Colour;
  readonly charts: readonly {
    readonly toPx: Matrix3;
    readonly patches?: readonly Triple[];
    readonly columns?: number;
  }[];
  /** Applied to every pixel in linear light, as the light and the camera do. */
  readonly camera?: (linear: Triple, x: number, y: number) => Triple;
  /** Applied last, to coded values. */
  readonly tone?: (v: number) => number;
  readonly noise?: number;
  readonly random: () => number;
}

/** Four samples a pixel, then camera, tone, noise, 8 bits. */
export function draw(d: Drawing): UprightPicture {
  const charts = d.charts.map((c) => ({ ...c, back: invertHomography(c.toPx) }));
  const at = (x: number, y: number): Triple => {
    for (const { back, patches = PATCHES, columns = 6 } of charts) {
      const p = applyHomography(back, { x, y });
      const seen = chartAt(p.x, p.y, patches, columns);
      if (seen) return seen;
    }
    return d.background(x, y);
  };
  const rgb = new Uint8Array(d.widthPx * d.heightPx * 3);
  const tone = d.tone ?? ((v: number) => v);
  for (let y = 0, i = 0; y < d.heightPx; y++) {
    for (let x = 0; x < d.widthPx; x++) {
      const sum = [0, 0, 0];
      for (const [dx, dy] of [
        [0.25, 0.25],
        [0.75, 0.25],
        [0.25, 0.75],
        [0.75, 0.75],
      ] as const) {
        const k = at(x + dx, y + dy);
        for (const c of [0, 1, 2] as const) sum[c]! += srgbToLinear(k[c]) / 4;
      }
      const linear: Triple = [sum[0]!, sum[1]!, sum[2]!];
      const shown = d.camera ? d.camera(linear, x, y) : linear;
      for (const c of [0, 1, 2] as const) {
        const v = 255 * tone(code(shown[c])) + (d.noise ?? 1) * 2 * (d.random() + d.random() - 1);
        rgb[i++] = Math.max(0, Math.min(255, Math.round(v)));
      }
    }
  }
  return { widthPx: d.widthPx, heightPx: d.heightPx, rgb };
}

/** A busy background: soft stripes and blocks of many colours. */
export const busy: Colour = (x, y) => [
  0.5 + 0.3 * Math.sin(x / 23) * Math.cos(y / 31),
  0.45 + 0.2 * Math.sin((x + y) / 17),
  0.4 + 0.3 * Math.cos(x / 41 - y / 13),
];
