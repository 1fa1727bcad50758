import type { OpenCV } from "@opencvjs/node";
import { type Cv, mat8, type Scope } from "../vision/opencv.ts";
import type { Plane } from "./plane.ts";
import type { WorkPicture } from "./work-picture.ts";

/** Landmarks of one picture with their binary descriptions, all of one detector. */
export interface Features {
  /** Positions in pixels of the working size, outer-corner; x and y in turn. */
  readonly xy: Float32Array;
  readonly count: number;
  /** `words` 32-bit words each. */
  readonly descriptions: Int32Array;
  readonly words: number;
}

export type Detector = "akaze" | "orb";

/** Comparing grows with the square of this; beyond it further landmarks are weak ones beside strong ones. */
const MOST_FEATURES = 3000;
/** Landmarks are taken evenly over this many tiles a side, or one hairy corner would hold them all. */
const TILES = 8;
/** Low, so that plain skin still gives landmarks: the weak ones are cut by rank, not by this. */
const AKAZE_THRESHOLD = 0.0002;
const ORB_FAST_THRESHOLD = 5;

/** Finds landmarks on the grey picture with its local contrast evened out. Left-out parts give none. */
export function features(cv: Cv, scope: Scope, picture: WorkPicture, detector: Detector): Features {
  const plane = detector === "akaze" ? picture.grey : picture.fine;
  const keypoints = scope.own(new cv.KeyPointVector());
  const described = scope.own(new cv.Mat());
  detectorOf(cv, scope, detector).detectAndCompute(
    evenContrast(cv, scope, plane),
    scope.own(new cv.Mat()),
    keypoints,
    described,
  );
  const scale = picture.grey.widthPx / plane.widthPx;
  return chosen(keypoints, described, scale, picture.counts);
}

/** Contrast-limited local equalisation on 8 × 8 tiles: light from another side leaves little trace in it. */
function evenContrast(cv: Cv, scope: Scope, plane: Plane): OpenCV.Mat {
  const grey = mat8(cv, scope, plane.widthPx, plane.heightPx, rounded(plane.values));
  const even = scope.own(new cv.Mat());
  scope.own(new cv.CLAHE(3, new cv.Size(8, 8))).apply(grey, even);
  return even;
}

function rounded(values: Float32Array): Uint8Array {
  const bytes = new Uint8Array(values.length);
  for (let i = 0; i < values.length; i++) bytes[i] = values[i]! + 0.5;
  return bytes;
}

function detectorOf(cv: Cv, scope: Scope, detector: Detector): OpenCV.Feature2D {
  if (detector === "orb") {
    return scope.own(
      new cv.ORB(2 * MOST_FEATURES, 1.2, 8, 31, 0, 2, cv.ORB_HARRIS_SCORE, 31, ORB_FAST_THRESHOLD),
    );
  }
  const akaze = scope.own(new cv.AKAZE());
  akaze.setThreshold(AKAZE_THRESHOLD);
  return akaze;
}

interface KeyPoint {
  readonly pt: { readonly x: number; readonly y: number };
  readonly response: number;
}

function chosen(
  keypoints: { size(): number; get(i: number): unknown },
  described: OpenCV.Mat,
  scale: number,
  counts: Plane,
): Features {
  const tiles = Array.from(
    { length: TILES * TILES },
    () => [] as { i: number; x: number; y: number; response: number }[],
  );
  for (let i = 0; i < keypoints.size(); i++) {
    const { pt, response } = keypoints.get(i) as KeyPoint;
    const [x, y] = [(pt.x + 0.5) * scale, (pt.y + 0.5) * scale];
    const [px, py] = [Math.floor(x), Math.floor(y)];
    if (!(px >= 0 && py >= 0 && px < counts.widthPx && py < counts.heightPx)) continue;
    if (counts.values[py * counts.widthPx + px]! < 0.5) continue;
    const tile =
      Math.floor((TILES * py) / counts.heightPx) * TILES + Math.floor((TILES * px) / counts.widthPx);
    tiles[tile]!.push({ i, x, y, response });
  }
  const perTile = fairShare(tiles.map((t) => t.length));
  const kept = tiles.flatMap((t) => t.sort((a, b) => b.response - a.response).slice(0, perTile));
  const bytes = described.cols;
  const words = Math.ceil(bytes / 4);
  const packed = new Uint8Array(kept.length * words * 4);
  const xy = new Float32Array(2 * kept.length);
  for (const [k, { i, x, y }] of kept.entries()) {
    packed.set(described.data.subarray(i * bytes, (i + 1) * bytes), k * words * 4);
    xy[2 * k] = x;
    xy[2 * k + 1] = y;
  }
  return { xy, count: kept.length, descriptions: new Int32Array(packed.buffer), words };
}

/** The most that every tile may keep so that all together stay within the limit. */
function fairShare(counts: readonly number[]): number {
  let share = Math.max(...counts, 1);
  const total = (most: number) => counts.reduce((s, n) => s + Math.min(n, most), 0);
  let low = 0;
  while (low < share) {
    const middle = Math.ceil((low + share) / 2);
    if (total(middle) <= MOST_FEATURES) low = middle;
    else share = middle - 1;
  }
  return Math.max(1, low);
}
