import type { Measured } from "@samescale/geometry";
import type { Matrix3, ScaleFound } from "@samescale/picture";

/**
 * A reading brought from the scale down to the subject: every size at the subject is `factor` times what the scale
 * alone would say, and the factor's own doubt joins the reading's.
 */
export function correctedReading(reading: ScaleFound, factor: Measured, heightMm: number): ScaleFound {
  const relative95 = factor.u95 / factor.value;
  const scales = reading.scales.map((scale) => {
    const value = scale.pxPerMm.value / factor.value;
    const own95 = scale.pxPerMm.u95 / scale.pxPerMm.value;
    return { ...scale, pxPerMm: { value, u95: value * Math.hypot(own95, relative95) } };
  });
  const plane =
    reading.plane === null
      ? null
      : { ...reading.plane, homographyPxToMm: scaled(reading.plane.homographyPxToMm, factor.value) };
  const ratio = reading.reproductionRatio;
  return {
    ...reading,
    scales,
    plane,
    reproductionRatio:
      ratio === null
        ? null
        : {
            value: ratio.value / factor.value,
            u95: (ratio.value / factor.value) * Math.hypot(ratio.u95 / ratio.value, relative95),
          },
    warnings: [
      ...reading.warnings,
      `The scale lay about ${Math.round(Math.abs(heightMm))} mm ${heightMm > 0 ? "above" : "below"} the subject; sizes are corrected for it.`,
    ],
    recipe: {
      step: "scale-to-subject",
      version: 1,
      parameters: {
        factor: factor.value,
        heightMm,
        scaleToleranceU: reading.recipe.parameters.scaleToleranceU,
        scaleHeightU: relative95 / 2,
        from: reading.recipe,
      },
    },
  };
}

/** Millimetres grow by `by`: the first two rows of a homography px -> mm. */
function scaled(h: Matrix3, by: number): Matrix3 {
  const [a, b, c] = h;
  return [[a[0] * by, a[1] * by, a[2] * by], [b[0] * by, b[1] * by, b[2] * by], c];
}
