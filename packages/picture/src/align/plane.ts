import type { OpenCV } from "@opencvjs/node";
import { composeHomographies, type Matrix3 } from "@samescale/geometry";
import type { Cv, Scope } from "../vision/opencv.ts";

/** One channel of floating-point values, row by row. Positions are outer-corner: the first pixel's centre is (0.5, 0.5). */
export interface Plane {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly values: Float32Array;
}

export function toMat(cv: Cv, scope: Scope, plane: Plane): OpenCV.Mat {
  const mat = scope.own(new cv.Mat(plane.heightPx, plane.widthPx, cv.CV_32FC1));
  mat.data32F.set(plane.values);
  return mat;
}

export const toPlane = (mat: OpenCV.Mat): Plane => ({
  widthPx: mat.cols,
  heightPx: mat.rows,
  values: mat.data32F.slice(),
});

/** Same picture at another size, each new pixel the mean of what it covers. */
export function resized(cv: Cv, scope: Scope, plane: Plane, widthPx: number, heightPx: number): Plane {
  if (widthPx === plane.widthPx && heightPx === plane.heightPx) return plane;
  const to = scope.own(new cv.Mat());
  cv.resize(toMat(cv, scope, plane), to, new cv.Size(widthPx, heightPx), 0, 0, cv.INTER_AREA);
  return toPlane(to);
}

/** Mean over blocks of `by` × `by` pixels. Left-over columns and rows are dropped, so that the factor is exact. */
export function reducedBy(plane: Plane, by: number): Plane {
  if (by === 1) return plane;
  const [widthPx, heightPx] = [Math.floor(plane.widthPx / by), Math.floor(plane.heightPx / by)];
  const values = new Float32Array(widthPx * heightPx);
  for (let y = 0, to = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++, to++) {
      let sum = 0;
      for (let j = 0; j < by; j++) {
        for (let i = 0; i < by; i++) sum += plane.values[(y * by + j) * plane.widthPx + x * by + i]!;
      }
      values[to] = sum / (by * by);
    }
  }
  return { widthPx, heightPx, values };
}

/** Gaussian, cut off at 2.5 standard deviations: what lies beyond is 1 % of it. */
export function blurred(cv: Cv, scope: Scope, plane: Plane, sigmaPx: number): Plane {
  const to = scope.own(new cv.Mat());
  const side = 2 * Math.ceil(2.5 * sigmaPx) + 1;
  const kernel = new cv.Size(side, side);
  cv.GaussianBlur(toMat(cv, scope, plane), to, kernel, sigmaPx, sigmaPx, cv.BORDER_REFLECT_101);
  return toPlane(to);
}

/** The library counts from pixel centres; everything else here from outer corners. */
const TO_CORNER: Matrix3 = [
  [1, 0, 0.5],
  [0, 1, 0.5],
  [0, 0, 1],
];
const TO_CENTRE: Matrix3 = [
  [1, 0, -0.5],
  [0, 1, -0.5],
  [0, 0, 1],
];

/** The plane seen through `h` (its pixels → pixels of the result), bilinear; `outside` where it does not reach. */
export function warped(
  cv: Cv,
  scope: Scope,
  plane: Plane,
  h: Matrix3,
  size: { readonly widthPx: number; readonly heightPx: number },
  outside: number,
): Plane {
  const centred = composeHomographies(TO_CENTRE, composeHomographies(h, TO_CORNER));
  const matrix = scope.own(cv.matFromArray(3, 3, cv.CV_64FC1, centred.flat()));
  const to = scope.own(new cv.Mat());
  cv.warpPerspective(
    toMat(cv, scope, plane),
    to,
    matrix,
    new cv.Size(size.widthPx, size.heightPx),
    cv.INTER_LINEAR,
    cv.BORDER_CONSTANT,
    new cv.Scalar(outside),
  );
  return toPlane(to);
}
