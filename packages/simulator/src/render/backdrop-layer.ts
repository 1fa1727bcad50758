import { blurDiameterPx } from "../camera/lens.ts";
import { lensPosition, rayThrough } from "../camera/view.ts";
import { KNOT_PX } from "../raster/paint.ts";
import { foldsAt } from "../surface/backdrop.ts";
import { applyLight } from "./apply-light.ts";
import type { Layer } from "./layer.ts";
import type { Stage } from "./stage.ts";

/** The backdrop, painted as the lens blurs it: what is finer than the blur disc is left out. */
export function backdropLayer(stage: Stage): Layer {
  const { view, scene, illumination } = stage;
  const { rgb, behindMm, folds, seed } = scene.backdrop;
  const [lensX, lensY, lensZ] = lensPosition(view);
  const depth = view.lens.objectMm + behindMm;
  const softMm = (blurDiameterPx(view.lens, depth) * depth) / view.lens.focalPx;
  const ray = new Float64Array(3);
  const place = (x: number, y: number, out: Float64Array): void => {
    rayThrough(view, x, y, ray);
    const k = (behindMm - lensZ) / Math.max(0.05, ray[2]!);
    out[0] = lensX + k * ray[0]!;
    out[1] = lensY + k * ray[1]!;
    out[2] = behindMm;
    out[3] = 0;
    out[4] = 0;
    out[5] = -1;
  };
  const at = new Float64Array(6);
  const brightness = (x: number, y: number): number => {
    place(x, y, at);
    return foldsAt(at[0]!, at[1]!, folds, softMm, seed);
  };
  return {
    bounds: null,
    depthAt: () => view.lens.focusMm,
    discPx: 0,
    opaque: true,
    soft: true,
    paint(strip) {
      const { r, g, b, a } = strip;
      for (let row = 0; row < strip.height; row++) {
        const y = strip.y0 + row + 0.5;
        let left = brightness(strip.x0 + 0.5, y);
        for (let x = 0; x < strip.width; x += KNOT_PX) {
          const right = brightness(strip.x0 + x + KNOT_PX + 0.5, y);
          const n = Math.min(KNOT_PX, strip.width - x);
          for (let i = 0; i < n; i++) {
            const k = left + ((right - left) * i) / KNOT_PX;
            const p = row * strip.width + x + i;
            r[p] = rgb[0] * k;
            g[p] = rgb[1] * k;
            b[p] = rgb[2] * k;
            a[p] = 1;
          }
          left = right;
        }
      }
      applyLight(strip, view, illumination, place);
    },
  };
}
