import { type Matrix3, type Point, unit, type Vector3 } from "@samescale/geometry";

/**
 * A plane seen by a camera: enough to say what an outline would measure if the camera leaned otherwise. Lengths come
 * out in an arbitrary unit until a scale fixes it.
 */
export interface PlaneView {
  readonly centre: Point;
  /** Image distance in pixels. */
  readonly focalPx: number;
  /** Unit normal of the plane in the camera's frame (x right, y down, z away), z > 0. */
  readonly normal: Vector3;
}

export const FACING: Vector3 = [0, 0, 1];

/**
 * The normal is the plane's vanishing line taken through the camera: `n = Kᵀ l`.
 * @source Hartley2003 §8.6
 */
export function normalOf([, , l]: Matrix3, centre: Point, focalPx: number): Vector3 {
  const z = l[0] * centre.x + l[1] * centre.y + l[2];
  const sign = z < 0 ? -1 : 1;
  return unit([sign * focalPx * l[0], sign * focalPx * l[1], sign * z]);
}

/** The normal turned by an angle towards a direction within the plane. */
export function leaned(normal: Vector3, angleRad: number, directionRad: number): Vector3 {
  const [e1, e2] = axesOf(normal);
  const [c, s] = [Math.cos(angleRad), Math.sin(angleRad)];
  const [a, b] = [s * Math.cos(directionRad), s * Math.sin(directionRad)];
  return unit([
    c * normal[0] + a * e1[0] + b * e2[0],
    c * normal[1] + a * e1[1] + b * e2[1],
    c * normal[2] + a * e1[2] + b * e2[2],
  ]);
}

/** From the camera towards a pixel. */
export const sightOf = ({ centre, focalPx }: PlaneView, { x, y }: Point): Vector3 => [
  (x - centre.x) / focalPx,
  (y - centre.y) / focalPx,
  1,
];

/** Where pixels lie on the plane, in its own axes; null where one is seen beyond the horizon. */
export function onPlane(view: PlaneView, points: readonly Point[]): Point[] | null {
  const { normal, centre, focalPx } = view;
  const [e1, e2] = axesOf(normal);
  const out: Point[] = [];
  for (const p of points) {
    const x = (p.x - centre.x) / focalPx;
    const y = (p.y - centre.y) / focalPx;
    const along = normal[0] * x + normal[1] * y + normal[2];
    if (!(along > 1e-6)) return null;
    out.push({
      x: (e1[0] * x + e1[1] * y + e1[2]) / along,
      y: (e2[0] * x + e2[1] * y + e2[2]) / along,
    });
  }
  return out;
}

/** Two unit vectors of the plane: the picture's own axes for a plane that faces the camera. */
export function axesOf([x, y, z]: Vector3): readonly [Vector3, Vector3] {
  const k = 1 / (1 + z);
  return [
    [1 - k * x * x, -k * x * y, -x],
    [-k * x * y, 1 - k * y * y, -y],
  ];
}
