import type { Fill, Mark, Ring } from "../artwork/mark.ts";
import type { Pose } from "../surface/pose.ts";

/** A mark in picture coordinates, with the boxes that let a band skip what it does not meet. */
export interface ProjectedMark {
  readonly fill: Fill;
  readonly pose: Pose;
  readonly rings: readonly ProjectedRing[];
  readonly box: Box;
}

interface ProjectedRing {
  readonly points: Float64Array;
  readonly box: Box;
}

export interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** Straight pieces no longer than this stand for an edge that is curved in the picture (bow, lens, cylinder). */
const PIECE_MM = 1.5;

export function projectMark(mark: Mark, pose: Pose): ProjectedMark {
  const rings = mark.rings.map((ring) => {
    const points = projectRing(ring, pose);
    return { points, box: boxOf(points) };
  });
  return { fill: mark.fill, pose, rings, box: unionOf(rings.map((ring) => ring.box)) };
}

export function projectRing(ring: Ring, pose: Pose): Float64Array {
  const at = new Float64Array(3);
  if (pose.straight) {
    const out = new Float64Array(ring.length);
    for (let i = 0; i < ring.length; i += 2) {
      pose.project(ring[i]!, ring[i + 1]!, at);
      out[i] = at[0]!;
      out[i + 1] = at[1]!;
    }
    return out;
  }
  const points: number[] = [];
  const n = ring.length;
  for (let i = 0; i < n; i += 2) {
    const [x0, y0] = [ring[i]!, ring[i + 1]!];
    const [x1, y1] = [ring[(i + 2) % n]!, ring[(i + 3) % n]!];
    const pieces = Math.min(400, Math.max(1, Math.ceil(Math.hypot(x1 - x0, y1 - y0) / PIECE_MM)));
    for (let k = 0; k < pieces; k++) {
      pose.project(x0 + ((x1 - x0) * k) / pieces, y0 + ((y1 - y0) * k) / pieces, at);
      points.push(at[0]!, at[1]!);
    }
  }
  return Float64Array.from(points);
}

export function boxOf(points: Float64Array): Box {
  let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < points.length; i += 2) {
    const x = points[i]!;
    const y = points[i + 1]!;
    if (x < left) left = x;
    if (x > right) right = x;
    if (y < top) top = y;
    if (y > bottom) bottom = y;
  }
  return { left, top, right, bottom };
}

export function unionOf(boxes: readonly Box[]): Box {
  let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const box of boxes) {
    left = Math.min(left, box.left);
    top = Math.min(top, box.top);
    right = Math.max(right, box.right);
    bottom = Math.max(bottom, box.bottom);
  }
  return { left, top, right, bottom };
}
