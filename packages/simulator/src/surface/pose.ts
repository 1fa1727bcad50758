import { projectWorld, rayThrough, type View } from "../camera/view.ts";
import type { Carrier, Tangent } from "./carrier.ts";

/** Where a thing lies. The thing's own +x runs in the direction `rotateDeg` from the surface's +x towards its +y. */
export interface Placement {
  readonly xMm: number;
  readonly yMm: number;
  readonly rotateDeg?: number;
  /** Height of the thing's face above the surface; a scale's thickness, or a scale held above the skin. */
  readonly heightMm?: number;
  /** The thing's own tilt about its +x (its +y side sinks) and about its +y (its +x side sinks). */
  readonly tiltXDeg?: number;
  readonly tiltYDeg?: number;
}

/** Bends a thing's own flat coordinates: writes [x, y, height]. */
export type Bend = (x: number, y: number, out: Float64Array) => void;

/** Ties a thing's own millimetres to the picture. */
export interface Pose {
  /** Writes [xPx, yPx, depthMm]. */
  project(x: number, y: number, out: Float64Array): void;
  /** Writes the thing's own [x, y]; false when the ray misses. A bend is ignored. */
  unproject(xPx: number, yPx: number, out: Float64Array): boolean;
  /** World position, for truth about surfaces. */
  toWorld(x: number, y: number, out: Float64Array): void;
  /** True when straight lines stay straight in the picture. */
  readonly straight: boolean;
  /** The frame of a flat thing, world units; null when it is wrapped round the surface. */
  readonly tangent: Tangent | null;
}

const RAD = Math.PI / 180;

/** A thing that keeps its own plane: it touches the surface, or floats `heightMm` above it. */
export function rigidPose(view: View, carrier: Carrier, at: Placement, bend?: Bend): Pose {
  return poseInFrame(view, placedFrame(carrier, at), bend);
}

/** A thing that follows the surface: skin marks, a wound, an adhesive label. */
export function wrappedPose(view: View, carrier: Carrier, at: Placement, bend?: Bend): Pose {
  if (carrier.planar) return rigidPose(view, carrier, at, bend);
  const cos = Math.cos((at.rotateDeg ?? 0) * RAD);
  const sin = Math.sin((at.rotateDeg ?? 0) * RAD);
  const height = at.heightMm ?? 0;
  const bent = new Float64Array(3);
  const world = new Float64Array(3);
  const ray = new Float64Array(3);
  const st = new Float64Array(2);
  const toWorld = (x: number, y: number, out: Float64Array): void => {
    bent[0] = x;
    bent[1] = y;
    bent[2] = 0;
    bend?.(x, y, bent);
    const bx = bent[0];
    const by = bent[1];
    carrier.toWorld(at.xMm + bx * cos - by * sin, at.yMm + bx * sin + by * cos, height + bent[2], out);
  };
  return {
    straight: false,
    tangent: null,
    toWorld,
    project(x, y, out) {
      toWorld(x, y, world);
      projectWorld(view, world[0]!, world[1]!, world[2]!, out);
    },
    unproject(xPx, yPx, out) {
      rayThrough(view, xPx, yPx, ray);
      if (!carrier.meet(ray, st)) return false;
      const dx = st[0]! - at.xMm;
      const dy = st[1]! - at.yMm;
      out[0] = dx * cos + dy * sin;
      out[1] = dy * cos - dx * sin;
      return true;
    },
  };
}

function placedFrame(carrier: Carrier, at: Placement): Tangent {
  const base = carrier.tangentAt(at.xMm, at.yMm);
  const turn = (at.rotateDeg ?? 0) * RAD;
  let ex = mix(base.ex, Math.cos(turn), base.ey, Math.sin(turn));
  let ey = mix(base.ey, Math.cos(turn), base.ex, -Math.sin(turn));
  let up = base.up;
  if (at.tiltXDeg) [ey, up] = sink(ey, up, at.tiltXDeg * RAD);
  if (at.tiltYDeg) [ex, up] = sink(ex, up, at.tiltYDeg * RAD);
  const h = at.heightMm ?? 0;
  return {
    origin: [
      base.origin[0] + h * base.up[0],
      base.origin[1] + h * base.up[1],
      base.origin[2] + h * base.up[2],
    ],
    ex,
    ey,
    up,
  };
}

type V3 = readonly [number, number, number];

const mix = (a: V3, ka: number, b: V3, kb: number): V3 => [
  ka * a[0] + kb * b[0],
  ka * a[1] + kb * b[1],
  ka * a[2] + kb * b[2],
];

const sink = (e: V3, up: V3, angle: number): [V3, V3] => [
  mix(e, Math.cos(angle), up, -Math.sin(angle)),
  mix(up, Math.cos(angle), e, Math.sin(angle)),
];

/** The pose of coordinates in a given flat frame. */
export function poseInFrame(view: View, frame: Tangent, bend?: Bend): Pose {
  const { origin: o, ex, ey, up } = frame;
  const world = new Float64Array(3);
  const bent = new Float64Array(3);
  const inverse = planeInverse(view, frame);
  const toWorld = (x: number, y: number, out: Float64Array): void => {
    let h = 0;
    if (bend) {
      bent[0] = x;
      bent[1] = y;
      bent[2] = 0;
      bend(x, y, bent);
      x = bent[0];
      y = bent[1];
      h = bent[2];
    }
    out[0] = o[0] + x * ex[0] + y * ey[0] + h * up[0];
    out[1] = o[1] + x * ex[1] + y * ey[1] + h * up[1];
    out[2] = o[2] + x * ex[2] + y * ey[2] + h * up[2];
  };
  return {
    straight: !bend && view.distortion.k1 === 0,
    tangent: frame,
    toWorld,
    project(x, y, out) {
      toWorld(x, y, world);
      projectWorld(view, world[0]!, world[1]!, world[2]!, out);
    },
    unproject: inverse,
  };
}

/** Column-wise [A B C] with camera = x A + y B + C for a flat frame. */
export function frameInCamera(view: View, frame: Tangent): Float64Array {
  const r = view.rotation;
  const out = new Float64Array(9);
  const columns = [frame.ex, frame.ey, frame.origin];
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) {
      const v = columns[j]!;
      out[i * 3 + j] = r[i * 3]! * v[0] + r[i * 3 + 1]! * v[1] + r[i * 3 + 2]! * v[2];
    }
  }
  out[8] = out[8]! + view.lens.objectMm;
  return out;
}

/** Homography frame mm -> px of the undistorted picture, row by row, last element 1. */
export function frameHomography(view: View, frame: Tangent): Float64Array {
  const m = frameInCamera(view, frame);
  const f = view.lens.focalPx;
  const h = new Float64Array(9);
  for (let j = 0; j < 3; j++) {
    h[j] = f * m[j]! + view.centreX * m[6 + j]!;
    h[3 + j] = f * m[3 + j]! + view.centreY * m[6 + j]!;
    h[6 + j] = m[6 + j]!;
  }
  const scale = 1 / h[8]!;
  return h.map((value) => value * scale);
}

function planeInverse(view: View, frame: Tangent): Pose["unproject"] {
  const m = frameInCamera(view, frame);
  // Adjugate of [A B C]: a camera ray (x, y, 1) times it gives the frame's homogeneous (x, y, 1).
  const a = [
    m[4]! * m[8]! - m[5]! * m[7]!,
    m[2]! * m[7]! - m[1]! * m[8]!,
    m[1]! * m[5]! - m[2]! * m[4]!,
    m[5]! * m[6]! - m[3]! * m[8]!,
    m[0]! * m[8]! - m[2]! * m[6]!,
    m[2]! * m[3]! - m[0]! * m[5]!,
    m[3]! * m[7]! - m[4]! * m[6]!,
    m[1]! * m[6]! - m[0]! * m[7]!,
    m[0]! * m[4]! - m[1]! * m[3]!,
  ];
  const determinant = m[0]! * a[0]! + m[1]! * a[3]! + m[2]! * a[6]!;
  const { centreX, centreY, lens, distortion } = view;
  return (xPx, yPx, out) => {
    const dx = xPx - centreX;
    const dy = yPx - centreY;
    const k = distortion.backward(dx * dx + dy * dy) / lens.focalPx;
    const x = dx * k;
    const y = dy * k;
    const w = a[6]! * x + a[7]! * y + a[8]!;
    if (w * determinant <= 0) return false; // behind the lens, or past the horizon
    out[0] = (a[0]! * x + a[1]! * y + a[2]!) / w;
    out[1] = (a[3]! * x + a[4]! * y + a[5]!) / w;
    return true;
  };
}
