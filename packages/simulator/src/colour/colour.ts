import type { Rgb } from "../artwork/mark.ts";

export type Lab = readonly [L: number, a: number, b: number];

const D50 = [0.96422, 1, 0.82521] as const;

/** CIE Lab (D50) to linear sRGB: the inverse Lab formula, then XYZ (D50) by the Bradford-adapted sRGB matrix.
 * @source CIE15 (Lab); Lindbloom (matrix) */
export function linearFromLab([L, a, b]: Lab): Rgb {
  const fy = (L + 16) / 116;
  const cube = (f: number): number => (f > 6 / 29 ? f ** 3 : (f - 4 / 29) * 3 * (6 / 29) ** 2);
  const x = cube(fy + a / 500) * D50[0];
  const y = cube(fy);
  const z = cube(fy - b / 200) * D50[2];
  return [
    3.1338561 * x - 1.6168667 * y - 0.4906146 * z,
    -0.9787684 * x + 1.9161415 * y + 0.033454 * z,
    0.0719453 * x - 0.2289914 * y + 1.4052427 * z,
  ];
}

/** The sRGB transfer curve, 0 to 1. @source IEC61966-2-1 */
export function encodeSrgb(linear: number): number {
  if (linear <= 0) return 0;
  if (linear >= 1) return 1;
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
}

export function decodeSrgb(encoded: number): number {
  return encoded <= 0.04045 ? encoded / 12.92 : ((encoded + 0.055) / 1.055) ** 2.4;
}

/** Linear reflectance from the 8-bit sRGB numbers that people think in. */
export const rgb8 = (r: number, g: number, b: number): Rgb => [
  decodeSrgb(r / 255),
  decodeSrgb(g / 255),
  decodeSrgb(b / 255),
];

/** Grey of the given reflectance. */
export const grey = (reflectance: number): Rgb => [reflectance, reflectance, reflectance];

/**
 * Colour of a black body as linear sRGB with green 1. The chromaticity follows a published cubic fit to the
 * Planckian locus, 1667 to 25000 K. @source Kim2002
 */
export function lightColour(kelvin: number): Rgb {
  const t = Math.min(25000, Math.max(1667, kelvin));
  const x =
    t <= 4000
      ? -0.2661239e9 / t ** 3 - 0.2343589e6 / t ** 2 + 0.8776956e3 / t + 0.17991
      : -3.0258469e9 / t ** 3 + 2.1070379e6 / t ** 2 + 0.2226347e3 / t + 0.24039;
  const y =
    t <= 2222
      ? -1.1063814 * x ** 3 - 1.3481102 * x ** 2 + 2.18555832 * x - 0.20219683
      : t <= 4000
        ? -0.9549476 * x ** 3 - 1.37418593 * x ** 2 + 2.09137015 * x - 0.16748867
        : 3.081758 * x ** 3 - 5.8733867 * x ** 2 + 3.75112997 * x - 0.37001483;
  const X = x / y;
  const Z = (1 - x - y) / y;
  const r = 3.2404542 * X - 1.5371385 - 0.4985314 * Z;
  const g = -0.969266 * X + 1.8760108 + 0.041556 * Z;
  const b = 0.0556434 * X - 0.2040259 + 1.0572252 * Z;
  return [r / g, 1, Math.max(0.02, b / g)];
}
