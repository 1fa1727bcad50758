import type { Matrix3 } from "../homography/matrix3.ts";

/**
 * Everywhere here the outer corner of the top left pixel is (0, 0) and that pixel's centre (0.5, 0.5); so a picture of
 * width w spans 0 to w, and resizing is a plain multiplication. Array indices, and libraries that
 * put (0, 0) at the first pixel's centre, are half a pixel less. These two matrices are the only passage:
 * compose them with a homography at the library's border, on each side of it that is in pixels.
 */
export const FROM_PIXEL_CENTRES: Matrix3 = [
  [1, 0, 0.5],
  [0, 1, 0.5],
  [0, 0, 1],
];

/** Outer-corner coordinates -> coordinates with (0, 0) at the centre of the first pixel. */
export const TO_PIXEL_CENTRES: Matrix3 = [
  [1, 0, -0.5],
  [0, 1, -0.5],
  [0, 0, 1],
];
