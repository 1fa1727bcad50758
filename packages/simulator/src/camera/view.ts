import type { Camera } from "./camera.ts";
import { type Distortion, distortionOf } from "./distortion.ts";
import { type Lens, lensOf } from "./lens.ts";

/**
 * The camera in space. World: x right, y down, z into the surface, origin at the target (right-handed); camera: the
 * same directions turned, z = depth along the optical axis from the lens.
 */
export interface View {
  readonly camera: Camera;
  readonly lens: Lens;
  readonly distortion: Distortion;
  /** Rotation world -> camera, row by row. */
  readonly rotation: Float64Array;
  readonly centreX: number;
  readonly centreY: number;
}

const RAD = Math.PI / 180;

export function viewOf(camera: Camera): View {
  return {
    camera,
    lens: lensOf(camera),
    distortion: distortionOf(camera.radialK1, camera.widthPx, camera.heightPx),
    rotation: rotationOf(camera),
    centreX: camera.widthPx / 2 + camera.principalOffsetPx.x,
    centreY: camera.heightPx / 2 + camera.principalOffsetPx.y,
  };
}

/** Rz(roll) Rx(leanX) Ry(leanY). */
function rotationOf({ leanXDeg, leanYDeg, rollDeg }: Camera): Float64Array {
  const [sa, ca] = [Math.sin(leanXDeg * RAD), Math.cos(leanXDeg * RAD)];
  const [sb, cb] = [Math.sin(leanYDeg * RAD), Math.cos(leanYDeg * RAD)];
  const [sr, cr] = [Math.sin(rollDeg * RAD), Math.cos(rollDeg * RAD)];
  // Rx Ry, where Ry: (x cb - z sb, y, x sb + z cb) and Rx: (x, y ca - z sa, y sa + z ca)
  const m = [cb, 0, -sb, -sa * sb, ca, -sa * cb, ca * sb, sa, ca * cb];
  const out = new Float64Array(9);
  for (let j = 0; j < 3; j++) {
    out[j] = cr * m[j]! - sr * m[3 + j]!;
    out[3 + j] = sr * m[j]! + cr * m[3 + j]!;
    out[6 + j] = m[6 + j]!;
  }
  return out;
}

/** World point (mm, from the target) to upright px and depth: writes [x, y, depth] into `out`. */
export function projectWorld(view: View, x: number, y: number, z: number, out: Float64Array): void {
  const r = view.rotation;
  const depth = r[6]! * x + r[7]! * y + r[8]! * z + view.lens.objectMm;
  const k = view.lens.focalPx / depth;
  const dx = (r[0]! * x + r[1]! * y + r[2]! * z) * k;
  const dy = (r[3]! * x + r[4]! * y + r[5]! * z) * k;
  const f = view.distortion.forward(dx * dx + dy * dy);
  out[0] = view.centreX + dx * f;
  out[1] = view.centreY + dy * f;
  out[2] = depth;
}

/** Direction in world of the ray through a pixel position, scaled so that its depth component is 1. */
export function rayThrough(view: View, xPx: number, yPx: number, out: Float64Array): void {
  const dx = xPx - view.centreX;
  const dy = yPx - view.centreY;
  const k = view.distortion.backward(dx * dx + dy * dy) / view.lens.focalPx;
  const cx = dx * k;
  const cy = dy * k;
  const r = view.rotation;
  out[0] = r[0]! * cx + r[3]! * cy + r[6]!;
  out[1] = r[1]! * cx + r[4]! * cy + r[7]!;
  out[2] = r[2]! * cx + r[5]! * cy + r[8]!;
}

/** Where the lens stands in world coordinates. */
export function lensPosition(view: View): readonly [number, number, number] {
  const r = view.rotation;
  const u = view.lens.objectMm;
  return [-r[6]! * u, -r[7]! * u, -r[8]! * u];
}
