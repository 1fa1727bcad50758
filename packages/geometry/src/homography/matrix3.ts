import { SamescaleError } from "@samescale/errors";
import type { ImagePoint, PlanePoint, Point } from "../units.ts";
import { imagePoint, planePoint } from "../units.ts";

/** A 3 x 3 matrix, row by row; a homography is one up to a factor. */
export type Matrix3 = readonly [
  readonly [number, number, number],
  readonly [number, number, number],
  readonly [number, number, number],
];

/**
 * Below this share of the sum of its absolute products, a 3 x 3 determinant is rounding error: six products,
 * each rounded to 1.1e-16, and a margin of ten. The share does not change when rows or columns are scaled.
 */
const DETERMINANT_NOISE = 1e-14;

/**
 * Where a homography takes a point: `(x, y, w) = h (x, y, 1)`, then `(x / w, y / w)`. Units and frames are the
 * matrix's own. A point on the vanishing line (`w = 0`) gives infinite coordinates, one beyond it a
 * meaningless place: ask `sameSideOfHorizon` where that can happen.
 * @source Hartley2003 §2.3
 */
export function applyHomography(h: Matrix3, p: Point): Point {
  const w = h[2][0] * p.x + h[2][1] * p.y + h[2][2];
  return {
    x: (h[0][0] * p.x + h[0][1] * p.y + h[0][2]) / w,
    y: (h[1][0] * p.x + h[1][1] * p.y + h[1][2]) / w,
  };
}

/** The homography that does `inner` first and `outer` after: the matrix product `outer inner`. */
export function composeHomographies(outer: Matrix3, inner: Matrix3): Matrix3 {
  const row = (r: 0 | 1 | 2) =>
    [0, 1, 2].map(
      (c) => outer[r][0] * inner[0][c]! + outer[r][1] * inner[1][c]! + outer[r][2] * inner[2][c]!,
    ) as unknown as [number, number, number];
  return [row(0), row(1), row(2)];
}

/**
 * The way back. Scaled so that the last element is 1 where that is possible.
 * @throws HOMOGRAPHY_SINGULAR when the matrix squashes the plane onto a line or holds no numbers
 */
export function invertHomography(h: Matrix3): Matrix3 {
  const [[a, b, c], [d, e, f], [g, i, j]] = h;
  const adjugate: Matrix3 = [
    [e * j - f * i, c * i - b * j, b * f - c * e],
    [f * g - d * j, a * j - c * g, c * d - a * f],
    [d * i - e * g, b * g - a * i, a * e - b * d],
  ];
  if (isSingular(h)) {
    throw new SamescaleError(
      "HOMOGRAPHY_SINGULAR",
      "A homography was expected that can be undone; this one maps the plane onto a line",
      "Give four points of which no three lie on one line.",
    );
  }
  const determinant = a * adjugate[0][0] + b * adjugate[1][0] + c * adjugate[2][0];
  return scaledToLastOne(scaled(adjugate, 1 / determinant));
}

/** Whether the determinant cannot be told from zero, or an element is not a number. */
export function isSingular(h: Matrix3): boolean {
  const [[a, b, c], [d, e, f], [g, i, j]] = h;
  const products = [a * e * j, -a * f * i, b * f * g, -b * d * j, c * d * i, -c * e * g];
  const sum = products.reduce((s, v) => s + v, 0);
  const size = products.reduce((s, v) => s + Math.abs(v), 0);
  return !(Math.abs(sum) > DETERMINANT_NOISE * size);
}

/** The same homography with last element 1; unchanged where that element is 0 (the origin lies on the vanishing line). */
export function scaledToLastOne(h: Matrix3): Matrix3 {
  const factor = 1 / h[2][2];
  return Number.isFinite(factor) ? scaled(h, factor) : h;
}

function scaled(h: Matrix3, k: number): Matrix3 {
  const row = (r: readonly [number, number, number]) => [r[0] * k, r[1] * k, r[2] * k] as const;
  return [row(h[0]), row(h[1]), row(h[2])];
}

/** Upright pixels to millimetres in the scale's plane. `hPxToMm` maps pixels to millimetres, as every plane here is kept. */
export function imageToPlane(p: ImagePoint, hPxToMm: Matrix3): PlanePoint {
  const q = applyHomography(hPxToMm, p);
  return planePoint(q.x, q.y);
}

/**
 * Millimetres in the scale's plane to upright pixels: `hPxToMm` undone. For many points invert once and use
 * `applyHomography`.
 * @throws HOMOGRAPHY_SINGULAR
 */
export function planeToImage(p: PlanePoint, hPxToMm: Matrix3): ImagePoint {
  const q = applyHomography(invertHomography(hPxToMm), p);
  return imagePoint(q.x, q.y);
}

/**
 * Whether all points lie on one side of the vanishing line of `h`, as all points that one camera sees of one
 * plane must. False also for a point on the line or one that is not a number.
 * @source Hartley2003 §21.1
 */
export function sameSideOfHorizon(h: Matrix3, points: readonly Point[]): boolean {
  let side = 0;
  for (const p of points) {
    const now = Math.sign(h[2][0] * p.x + h[2][1] * p.y + h[2][2]);
    if (!(now !== 0) || Number.isNaN(now) || now * side < 0) return false;
    side = now;
  }
  return true;
}
