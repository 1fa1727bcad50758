import { applyHomography, invertHomography, type Matrix3 } from "../homography/matrix3.ts";
import { type ImagePoint, imagePoint, type StoredPoint, storedPoint } from "../units.ts";

export type Orientation = 1 | 2 | 3 | 4 | 5 | 6 | 7 | 8;

/** A picture's size as the file stores it. */
export interface StoredSize {
  readonly widthPx: number;
  readonly heightPx: number;
}

/** The upright picture's size: 5 to 8 lie on their side. */
export function uprightSizeOf(stored: StoredSize, orientation: Orientation): StoredSize {
  return orientation >= 5 ? { widthPx: stored.heightPx, heightPx: stored.widthPx } : stored;
}

/**
 * Stored pixels -> upright pixels as a matrix, so that it composes with homographies. The EXIF value names the
 * sides of the upright picture on which the stored first row and first column lie: 1 top left, 2 top right,
 * 3 bottom right, 4 bottom left, 5 left top, 6 right top, 7 right bottom, 8 left bottom. 2, 4, 5 and 7
 * are mirrored; they are never used to mark a view taken through a mirror.
 * @source EXIF232 §4.6.4 (tag 0x0112)
 */
export function storedToUprightMatrix(stored: StoredSize, orientation: Orientation): Matrix3 {
  const { widthPx: w, heightPx: h } = stored;
  const matrices: Readonly<Record<Orientation, readonly [Matrix3[0], Matrix3[1]]>> = {
    1: [
      [1, 0, 0],
      [0, 1, 0],
    ],
    2: [
      [-1, 0, w],
      [0, 1, 0],
    ],
    3: [
      [-1, 0, w],
      [0, -1, h],
    ],
    4: [
      [1, 0, 0],
      [0, -1, h],
    ],
    5: [
      [0, 1, 0],
      [1, 0, 0],
    ],
    6: [
      [0, -1, h],
      [1, 0, 0],
    ],
    7: [
      [0, -1, h],
      [-1, 0, w],
    ],
    8: [
      [0, 1, 0],
      [-1, 0, w],
    ],
  };
  const [first, second] = matrices[orientation];
  return [first, second, [0, 0, 1]];
}

/** A place in the file's pixels -> the same place in the upright picture. */
export function storedToUpright(p: StoredPoint, stored: StoredSize, orientation: Orientation): ImagePoint {
  const q = applyHomography(storedToUprightMatrix(stored, orientation), p);
  return imagePoint(q.x, q.y);
}

/** A place in the upright picture -> the same place in the file's pixels. */
export function uprightToStored(p: ImagePoint, stored: StoredSize, orientation: Orientation): StoredPoint {
  const q = applyHomography(invertHomography(storedToUprightMatrix(stored, orientation)), p);
  return storedPoint(q.x, q.y);
}
