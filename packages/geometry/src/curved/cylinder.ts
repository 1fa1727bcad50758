import type { Point } from "../units.ts";

/** In the camera's frame: x to the picture's right, y down, z away from the camera. */
export type Vector3 = readonly [x: number, y: number, z: number];

/** A limb as a cylinder in front of a camera at the origin, mm. */
export interface Cylinder {
  /** Any point of the axis, and the unit vector along it. */
  readonly axisPoint: Vector3;
  readonly along: Vector3;
  readonly radiusMm: number;
}

export const dot = (a: Vector3, b: Vector3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

export const cross = (a: Vector3, b: Vector3): Vector3 => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

export const times = (a: Vector3, by: number): Vector3 => [a[0] * by, a[1] * by, a[2] * by];

export const plus = (a: Vector3, b: Vector3): Vector3 => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];

export const unit = (a: Vector3): Vector3 => times(a, 1 / Math.sqrt(dot(a, a)));

/**
 * Where sight lines first meet the cylinder, laid out flat as on its surface: x along the axis, y round it from the line
 * nearest to the camera, mm. The near root of |X - axis| = R with X = t s.
 * @returns null where a sight line passes beside the cylinder, or the camera is inside it
 */
export function laidOut(sights: readonly Vector3[], cylinder: Cylinder): Point[] | null {
  const { axisPoint, along, radiusMm } = cylinder;
  const foot = plus(axisPoint, times(along, -dot(axisPoint, along)));
  const distance = Math.sqrt(dot(foot, foot));
  if (!(distance > radiusMm)) return null;
  const towards = unit(foot);
  const aside = cross(along, towards);
  const out: Point[] = [];
  for (const sight of sights) {
    const [deep, across] = [dot(sight, towards), dot(sight, aside)];
    const square = deep * deep + across * across;
    const root = (deep * distance) ** 2 - square * (distance ** 2 - radiusMm ** 2);
    if (!(deep > 0 && root >= 0)) return null;
    const t = (deep * distance - Math.sqrt(root)) / square;
    out.push({
      x: t * dot(sight, along),
      y: radiusMm * Math.atan2(t * across, distance - t * deep),
    });
  }
  return out;
}
