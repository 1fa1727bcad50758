import type { ScaleAnswer } from "@samescale/picture";
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
    notFoundReason: scale.reproductionRatio ? null : (scale.ratioFrom ?? null),
    widthPx,
    heightPx,
    warnings: scale.warnings,
  };
}
