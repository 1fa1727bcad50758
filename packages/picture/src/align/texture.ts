import type { Cv, Scope } from "../vision/opencv.ts";
import { blurred, type Plane } from "./plane.ts";

/** A picture brought down to its texture: what is left when light, shade and overall contrast are taken out. */
export interface Texture {
  /** Local detail in grey levels divided by its local strength; about −3 to 3. */
  readonly even: Plane;
  /** Strength of local detail in grey levels. */
  readonly strength: Plane;
}

/** Detail finer than this is noise or the camera's grid; coarser than the second is light and shape. Pixels. */
const FINEST_PX = 0.8;
const COARSEST_PX = 6;
/** Grey levels under which detail is not amplified further: sensor noise and JPEG. */
const NOISE_FLOOR = 0.3;

export function texture(cv: Cv, scope: Scope, grey: Plane): Texture {
  const fine = blurred(cv, scope, grey, FINEST_PX);
  const coarse = blurred(cv, scope, grey, COARSEST_PX);
  const size = { widthPx: grey.widthPx, heightPx: grey.heightPx };
  const detail = fine.values;
  const squares = new Float32Array(detail.length);
  for (let i = 0; i < detail.length; i++) {
    detail[i] = detail[i]! - coarse.values[i]!;
    squares[i] = detail[i]! ** 2;
  }
  const strength = blurred(cv, scope, { ...size, values: squares }, COARSEST_PX);
  for (let i = 0; i < detail.length; i++) {
    strength.values[i] = Math.sqrt(Math.max(0, strength.values[i]!));
    detail[i] = detail[i]! / (strength.values[i]! + NOISE_FLOOR);
  }
  return { even: { ...size, values: detail }, strength };
}
