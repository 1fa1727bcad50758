import { invertHomography, type Matrix3 } from "@samescale/geometry";

export type Vector = readonly [x: number, y: number, z: number];

/** A plane before a pinhole camera: its axes and origin in camera millimetres (right, down, forward). */
export interface PosedPlane {
  /** Image distance in pixels. */
  readonly focalPx: number;
  readonly centre: readonly [x: number, y: number];
  readonly e1: Vector;
  readonly e2: Vector;
  readonly origin: Vector;
}

export interface Shared {
  readonly focalPx: number;
  /** At the origin, along the plane's first axis. */
  readonly pxPerMm: number;
  /** Axis and angle of the turn that takes the plane from square on to where it is. */
  readonly tiltX: number;
  readonly tiltY: number;
  readonly roll: number;
}

/** @param reference the picture point that the plane's origin is seen at */
export function posedPlane(
  { focalPx, pxPerMm, tiltX, tiltY, roll }: Shared,
  centre: readonly [number, number],
  reference: { readonly x: number; readonly y: number },
): PosedPlane {
  const angle = Math.hypot(tiltX, tiltY);
  const cos = Math.cos(angle);
  const sinc = angle < 1e-9 ? 1 : Math.sin(angle) / angle;
  const versine = angle < 1e-9 ? 0.5 : (1 - cos) / angle ** 2;
  const turned = (x: number, y: number): Vector => {
    // Rodrigues' rotation about an axis in the picture plane.
    const along = (tiltX * x + tiltY * y) * versine;
    return [x * cos + tiltX * along, y * cos + tiltY * along, (tiltX * y - tiltY * x) * sinc];
  };
  const e1 = turned(Math.cos(roll), Math.sin(roll));
  const e2 = turned(-Math.sin(roll), Math.cos(roll));
  // A millimetre along the first axis moves the picture point by this much of focalPx / depth.
  const [u, v] = [(reference.x - centre[0]) / focalPx, (reference.y - centre[1]) / focalPx];
  const depth = (focalPx / pxPerMm) * Math.hypot(e1[0] - u * e1[2], e1[1] - v * e1[2]);
  return { focalPx, centre, e1, e2, origin: [u * depth, v * depth, depth] };
}

/** Where a plane point is seen, and how deep it lies (mm). */
export function seen({ focalPx, centre, e1, e2, origin }: PosedPlane, X: number, Y: number): Vector {
  const x = origin[0] + X * e1[0] + Y * e2[0];
  const y = origin[1] + X * e1[1] + Y * e2[1];
  const z = Math.max(1e-6, origin[2] + X * e1[2] + Y * e2[2]);
  return [centre[0] + (focalPx * x) / z, centre[1] + (focalPx * y) / z, z];
}

/** Pixels per millimetre, square to the line of sight, where the optical axis meets the plane. */
export function pxPerMmOnAxis({ focalPx, e1, e2, origin }: PosedPlane): number {
  const n: Vector = [
    e1[1] * e2[2] - e1[2] * e2[1],
    e1[2] * e2[0] - e1[0] * e2[2],
    e1[0] * e2[1] - e1[1] * e2[0],
  ];
  return (focalPx * n[2]) / (n[0] * origin[0] + n[1] * origin[1] + n[2] * origin[2]);
}

/** @throws HOMOGRAPHY_SINGULAR when the plane is seen on edge */
export function homographyPxToMm({ focalPx, centre, e1, e2, origin }: PosedPlane): Matrix3 {
  const column = (v: Vector): Vector => [
    focalPx * v[0] + centre[0] * v[2],
    focalPx * v[1] + centre[1] * v[2],
    v[2],
  ];
  const [a, b, o] = [column(e1), column(e2), column(origin)];
  return invertHomography([
    [a[0], b[0], o[0]],
    [a[1], b[1], o[1]],
    [a[2], b[2], o[2]],
  ]);
}
