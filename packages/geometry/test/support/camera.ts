import { composeHomographies, invertHomography, type Matrix3 } from "../../src/index.ts";

/**
 * A pinhole camera before a plane, written out: the plane is first turned about the axis by `rollDeg`, then leaned by
 * `tiltDeg` so that it recedes towards `tiltDirectionDeg` in the picture. Millimetres in the plane -> pixels.
 */
export function cameraMmToPx(camera: {
  readonly focalPx: number;
  readonly centreX: number;
  readonly centreY: number;
  readonly distanceMm: number;
  readonly tiltDeg: number;
  readonly tiltDirectionDeg: number;
  readonly rollDeg: number;
  readonly offsetXmm?: number;
  readonly offsetYmm?: number;
}): Matrix3 {
  const [tilt, direction, roll] = [camera.tiltDeg, camera.tiltDirectionDeg, camera.rollDeg].map(
    (deg) => (deg * Math.PI) / 180,
  ) as [number, number, number];
  // Rotation about the axis in the picture plane at right angles to the direction of lean, by Rodrigues' formula: the
  // direction itself turns away from the camera (z grows).
  const [dx, dy] = [Math.cos(direction), Math.sin(direction)];
  const turned = (x: number, y: number): [number, number, number] => {
    const [rx, ry] = [Math.cos(roll) * x - Math.sin(roll) * y, Math.sin(roll) * x + Math.cos(roll) * y];
    const along = rx * dx + ry * dy;
    return [
      rx + (Math.cos(tilt) - 1) * along * dx,
      ry + (Math.cos(tilt) - 1) * along * dy,
      Math.sin(tilt) * along,
    ];
  };
  const x = turned(1, 0);
  const y = turned(0, 1);
  const pose: Matrix3 = [
    [x[0], y[0], camera.offsetXmm ?? 0],
    [x[1], y[1], camera.offsetYmm ?? 0],
    [x[2], y[2], camera.distanceMm],
  ];
  const lens: Matrix3 = [
    [camera.focalPx, 0, camera.centreX],
    [0, camera.focalPx, camera.centreY],
    [0, 0, 1],
  ];
  return composeHomographies(lens, pose);
}

export const cameraPxToMm = (camera: Parameters<typeof cameraMmToPx>[0]): Matrix3 =>
  invertHomography(cameraMmToPx(camera));
