import type { ImagePoint, Point } from "../units.ts";
import { applyHomography, type Matrix3 } from "./matrix3.ts";

export type Matrix2 = readonly [readonly [number, number], readonly [number, number]];

/**
 * How a homography stretches the surroundings of `p`: `[[dX/dx, dX/dy], [dY/dx, dY/dy]]`. Its determinant is the
 * ratio of small areas; negative where the plane is shown mirrored.
 */
export function jacobianAt(h: Matrix3, p: Point): Matrix2 {
  const w = h[2][0] * p.x + h[2][1] * p.y + h[2][2];
  const q = applyHomography(h, p);
  return [
    [(h[0][0] - q.x * h[2][0]) / w, (h[0][1] - q.x * h[2][1]) / w],
    [(h[1][0] - q.y * h[2][0]) / w, (h[1][1] - q.y * h[2][1]) / w],
  ];
}

export interface LocalScale {
  /** Along the direction that shows largest. */
  readonly max: number;
  /** Along the direction that shows smallest, at right angles to the other in the plane. */
  readonly min: number;
  /** Geometric mean, so that a small area is `mean² ` px per mm². */
  readonly mean: number;
  /** Along a direction in the picture: 0 to the right, 90 down. */
  atAngle(angleDeg: number): number;
}

/**
 * Pixels per millimetre at one place of a plane seen by a homography px -> mm, from the singular values of its
 * Jacobian there. Only a plane square to the camera has one number for all directions.
 * @source Hartley2003 §2.3; singular values of a 2 x 2 matrix in closed form
 */
export function localScalePxPerMm(hPxToMm: Matrix3, at: ImagePoint): LocalScale {
  const [[a, b], [c, d]] = jacobianAt(hPxToMm, at);
  const sum = Math.hypot(a + d, c - b);
  const difference = Math.hypot(a - d, b + c);
  const largestMmPerPx = (sum + difference) / 2;
  const areaMm2PerPx2 = Math.abs(a * d - b * c);
  const smallestMmPerPx = areaMm2PerPx2 / largestMmPerPx;
  return {
    max: 1 / smallestMmPerPx,
    min: 1 / largestMmPerPx,
    mean: 1 / Math.sqrt(areaMm2PerPx2),
    atAngle(angleDeg) {
      const angle = (angleDeg * Math.PI) / 180;
      const x = Math.cos(angle);
      const y = Math.sin(angle);
      return 1 / Math.hypot(a * x + b * y, c * x + d * y);
    },
  };
}
