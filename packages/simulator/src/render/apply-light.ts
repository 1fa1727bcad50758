import type { View } from "../camera/view.ts";
import type { Illumination } from "../light/light.ts";
import { KNOT_PX } from "../raster/paint.ts";
import type { Strip } from "../raster/strip.ts";

/** Where a picture place lies in the world, and which way its surface faces: writes x, y, z, nx, ny, nz. */
export type FacingAt = (xPx: number, yPx: number, out: Float64Array) => void;

/** Multiplies reflectance by the light that falls on it and by the lens's fall-off towards the corners. */
export function applyLight(strip: Strip, view: View, illumination: Illumination, facingAt: FacingAt): void {
  const facing = new Float64Array(6);
  const light = new Float64Array(3);
  const { r, g, b } = strip;
  const sample = (x: number, y: number): void => {
    facingAt(x, y, facing);
    illumination.at(facing[0]!, facing[1]!, facing[2]!, facing[3]!, facing[4]!, facing[5]!, light);
    const fall = vignette(view, x, y);
    light[0] = light[0]! * fall;
    light[1] = light[1]! * fall;
    light[2] = light[2]! * fall;
  };
  for (let row = 0; row < strip.height; row++) {
    const y = strip.y0 + row + 0.5;
    sample(strip.x0 + 0.5, y);
    let [r0, g0, b0] = [light[0]!, light[1]!, light[2]!];
    for (let x = 0; x < strip.width; x += KNOT_PX) {
      const n = Math.min(KNOT_PX, strip.width - x);
      sample(strip.x0 + x + KNOT_PX + 0.5, y);
      const dr = (light[0]! - r0) / KNOT_PX;
      const dg = (light[1]! - g0) / KNOT_PX;
      const db = (light[2]! - b0) / KNOT_PX;
      let p = row * strip.width + x;
      for (let i = 0; i < n; i++, p++) {
        r[p] = r[p]! * (r0 + dr * i);
        g[p] = g[p]! * (g0 + dg * i);
        b[p] = b[p]! * (b0 + db * i);
      }
      r0 = light[0]!;
      g0 = light[1]!;
      b0 = light[2]!;
    }
  }
}

/** cos⁴ of the angle to the axis, raised to the camera's vignetting strength. @source Ray2002 */
function vignette(view: View, x: number, y: number): number {
  const dx = (x - view.centreX) / view.lens.focalPx;
  const dy = (y - view.centreY) / view.lens.focalPx;
  return (1 + dx * dx + dy * dy) ** (-2 * view.camera.vignetting);
}
