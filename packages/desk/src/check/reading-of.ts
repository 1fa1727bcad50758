import { imagePoint, leanFromHomography } from "@samescale/geometry";
import type { ScaleAnswer, ScaleFound } from "@samescale/picture";
import type { FrameReading } from "@samescale/practice";

/** What a scale's answer tells the judge. */
export function readingOf(scale: ScaleAnswer): FrameReading {
  const { widthPx, heightPx } = scale;
  if (!scale.found) {
    return {
      reproductionRatio: null,
      leanDeg: null,
      notFoundReason: scale.reason,
      widthPx,
      heightPx,
      warnings: [],
    };
  }
  return {
    reproductionRatio: scale.reproductionRatio,
    leanDeg: scale.plane?.tiltDeg ?? null,
    recedesDeg: recedes(scale),
    notFoundReason: scale.reproductionRatio ? null : (scale.ratioFrom ?? null),
    mirrored: scale.mirrored ?? null,
    widthPx,
    heightPx,
    warnings: scale.warnings,
  };
}

/** The way in which the plane of the scale recedes; it hardly depends on the focal length, so a usual one will do. */
function recedes({ plane, widthPx, heightPx, imageDistancePx }: ScaleFound): number | null {
  if (plane === null) return null;
  const middle = imagePoint(widthPx / 2, heightPx / 2);
  const focalPx = imageDistancePx ?? 3 * Math.max(widthPx, heightPx);
  const lean = leanFromHomography(plane.homographyPxToMm, middle, focalPx);
  return lean.ok ? lean.tiltDirectionDeg : null;
}
