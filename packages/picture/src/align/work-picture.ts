import { fittingSize } from "../decode/fitting-size.ts";
import type { GreyPicture } from "../decode/picture.ts";
import { type Cv, mat8, type Scope } from "../vision/opencv.ts";
import { type Plane, resized } from "./plane.ts";

/** One of the two pictures while they are aligned: grey at two sizes, and which pixels count. */
export interface WorkPicture {
  /** Up to `FINE_SIDE_PX` on the long side: for the second detector. */
  readonly fine: Plane;
  /** Up to `SIDE_PX`: positions and maps in this folder are in pixels of this size. */
  readonly grey: Plane;
  /** 1 where the picture counts, 0 in left-out regions and black padding; at the size of `grey`. */
  readonly counts: Plane;
}

/** Alignment to 0.1 px here is 0.1 px in 1000: more pixels add time, not accuracy. */
export const SIDE_PX = 1000;
/** Hairs and fine skin relief are lost below this. */
export const FINE_SIDE_PX = 1600;

export type LeftOut = readonly (readonly (readonly [x: number, y: number])[])[];

/** @param leftOut polygons in pixels of `picture` */
export function workPicture(cv: Cv, scope: Scope, picture: GreyPicture, leftOut: LeftOut): WorkPicture {
  const { widthPx, heightPx, grey: values } = picture;
  const whole: Plane = { widthPx, heightPx, values: new Float32Array(values) };
  const at = (sidePx: number) => {
    const size = fittingSize(whole, sidePx);
    return resized(cv, scope, whole, size.widthPx, size.heightPx);
  };
  const grey = at(SIDE_PX);
  const counts = withoutPadding(grey);
  erase(cv, scope, counts, leftOut, grey.widthPx / whole.widthPx, grey.heightPx / whole.heightPx);
  return { fine: at(FINE_SIDE_PX), grey, counts };
}

/** Brightest value of a row or column that still is padding: JPEG leaves a little noise in black. */
const BLACK = 10;

/** Rows and columns from the border inwards that are black throughout hold no picture, but their edge repeats in place. */
function withoutPadding({ widthPx: w, heightPx: h, values }: Plane): Plane {
  const isBlack = (n: number, at: (i: number) => number) => {
    for (let i = 0; i < n; i++) if (values[at(i)]! > BLACK) return false;
    return true;
  };
  let [left, right, top, bottom] = [0, w, 0, h];
  while (left < right && isBlack(h, (y) => y * w + left)) left++;
  while (right > left && isBlack(h, (y) => y * w + right - 1)) right--;
  while (top < bottom && isBlack(w, (x) => top * w + x)) top++;
  while (bottom > top && isBlack(w, (x) => (bottom - 1) * w + x)) bottom--;
  const counts = new Float32Array(w * h);
  for (let y = top; y < bottom; y++) counts.fill(1, y * w + left, y * w + right);
  return { widthPx: w, heightPx: h, values: counts };
}

function erase(cv: Cv, scope: Scope, counts: Plane, leftOut: LeftOut, kx: number, ky: number): void {
  const rings = leftOut.filter((ring) => ring.length >= 3);
  if (rings.length === 0) return;
  const { widthPx, heightPx } = counts;
  const mask = mat8(cv, scope, widthPx, heightPx, new Uint8Array(widthPx * heightPx));
  for (const ring of rings) {
    const polygon = scope.own(
      cv.matFromArray(
        ring.length,
        1,
        cv.CV_32SC2,
        ring.flatMap(([x, y]) => [Math.floor(x * kx), Math.floor(y * ky)]),
      ),
    );
    const list = scope.own(new cv.MatVector());
    list.push_back(polygon);
    cv.fillPoly(mask, list, new cv.Scalar(255));
  }
  for (let i = 0; i < counts.values.length; i++) if (mask.data[i]) counts.values[i] = 0;
}
