import type { Lab } from "./delta-e00.ts";

/**
 * The way from picture values to the reference values of a chart and back:
 * 8-bit sRGB → linear RGB (D65) → XYZ D65 → XYZ D50 (Bradford) → CIE L*a*b* D50.
 */
export type Triple = readonly [number, number, number];
export type Matrix33 = readonly [Triple, Triple, Triple];

/** The ICC profile connection white and the D65 of ASTM E308, 2 degree observer: one pair, used throughout. */
export const WHITE_D50: Triple = [0.96422, 1, 0.82521];
export const WHITE_D65: Triple = [0.95047, 1, 1.08883];

/** @source IEC61966-2-1 @param encoded 0 to 1 */
export function srgbToLinear(encoded: number): number {
  return encoded <= 0.04045 ? encoded / 12.92 : ((encoded + 0.055) / 1.055) ** 2.4;
}

/** @source IEC61966-2-1 @param linear 0 to 1 */
export function linearToSrgb(linear: number): number {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
}

export function multiply(m: Matrix33, v: Triple): Triple {
  const row = (r: Triple) => r[0] * v[0] + r[1] * v[1] + r[2] * v[2];
  return [row(m[0]), row(m[1]), row(m[2])];
}

export function product(a: Matrix33, b: Matrix33): Matrix33 {
  const column = (j: 0 | 1 | 2): Triple => multiply(a, [b[0][j], b[1][j], b[2][j]]);
  const [x, y, z] = [column(0), column(1), column(2)];
  return [
    [x[0], y[0], z[0]],
    [x[1], y[1], z[1]],
    [x[2], y[2], z[2]],
  ];
}

export function inverse(m: Matrix33): Matrix33 {
  const [[a, b, c], [d, e, f], [g, h, i]] = m;
  const det = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
  return [
    [(e * i - f * h) / det, (c * h - b * i) / det, (b * f - c * e) / det],
    [(f * g - d * i) / det, (a * i - c * g) / det, (c * d - a * f) / det],
    [(d * h - e * g) / det, (b * g - a * h) / det, (a * e - b * d) / det],
  ];
}

const BRADFORD: Matrix33 = [
  [0.8951, 0.2664, -0.1614],
  [-0.7502, 1.7135, 0.0367],
  [0.0389, -0.0685, 1.0296],
];

/** Chromatic adaptation of XYZ from one white to another by the Bradford cones. @source Bradford1985 */
export function adaptation(from: Triple, to: Triple): Matrix33 {
  const cones = multiply(BRADFORD, from);
  const wanted = multiply(BRADFORD, to);
  const gain: Matrix33 = [
    [wanted[0] / cones[0], 0, 0],
    [0, wanted[1] / cones[1], 0],
    [0, 0, wanted[2] / cones[2]],
  ];
  return product(inverse(BRADFORD), product(gain, BRADFORD));
}

/** Linear RGB of the sRGB primaries to XYZ against D65. @source IEC61966-2-1 primaries, D65 as above */
export const RGB_TO_XYZ_D65: Matrix33 = (() => {
  const primary = (x: number, y: number): Triple => [x / y, 1, (1 - x - y) / y];
  const [r, g, b] = [primary(0.64, 0.33), primary(0.3, 0.6), primary(0.15, 0.06)];
  const bare: Matrix33 = [
    [r[0], g[0], b[0]],
    [r[1], g[1], b[1]],
    [r[2], g[2], b[2]],
  ];
  const strength = multiply(inverse(bare), WHITE_D65);
  const scaled = (row: Triple): Triple => [row[0] * strength[0], row[1] * strength[1], row[2] * strength[2]];
  return [scaled(bare[0]), scaled(bare[1]), scaled(bare[2])];
})();

/** Of linear RGB: 1 for white. */
export const luminanceOf = (rgb: Triple): number => multiply(RGB_TO_XYZ_D65, rgb)[1];

export const RGB_TO_XYZ_D50: Matrix33 = product(adaptation(WHITE_D65, WHITE_D50), RGB_TO_XYZ_D65);
export const XYZ_D50_TO_RGB: Matrix33 = inverse(RGB_TO_XYZ_D50);

const EPSILON = 216 / 24389;
const KAPPA = 24389 / 27;

/** @source CIE15 (exact fractions) */
export function xyzToLab(xyz: Triple, white: Triple): Lab {
  const f = (t: number) => (t > EPSILON ? Math.cbrt(t) : (KAPPA * t + 16) / 116);
  const [x, y, z] = [f(xyz[0] / white[0]), f(xyz[1] / white[1]), f(xyz[2] / white[2])];
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

export function labToXyz(lab: Lab, white: Triple): Triple {
  const y = (lab[0] + 16) / 116;
  const g = (t: number) => (t ** 3 > EPSILON ? t ** 3 : (116 * t - 16) / KAPPA);
  return [white[0] * g(y + lab[1] / 500), white[1] * g(y), white[2] * g(y - lab[2] / 200)];
}

export const linearToLabD50 = (rgb: Triple): Lab => xyzToLab(multiply(RGB_TO_XYZ_D50, rgb), WHITE_D50);
export const labD50ToLinear = (lab: Lab): Triple => multiply(XYZ_D50_TO_RGB, labToXyz(lab, WHITE_D50));
