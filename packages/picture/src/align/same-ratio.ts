import {
  applyHomography,
  imagePoint,
  invertHomography,
  jacobianAt,
  localScalePxPerMm,
  type Matrix3,
  type Measured,
  type Point,
} from "@samescale/geometry";
import type { SameRatio, ScaleAnswer, ScaleFound } from "../answers.ts";

/** Alignment on skin tells the ratio of two pictures to about this; standard uncertainty, relative. */
export const SKIN_RATIO_U = 0.0025;

/** What one picture of a series says of its own size. */
export interface SizeAnswers {
  /** Pixels per millimetre by the scale in the picture, near the subject; null: not read. */
  readonly pxPerMmByScale: Measured | null;
  /** Pixels per baseline pixel by the skin's own alignment, near the subject; 1 for the baseline; null: not aligned. */
  readonly pxPerBaselinePx: number | null;
}

/**
 * By how much the scale reads larger than the skin, as a logarithm with its standard uncertainty: the same number in every
 * picture of a series whose scale lay in the subject's plane. Null where one of the answers is missing.
 */
export function scaleOverSkin({
  pxPerMmByScale,
  pxPerBaselinePx,
}: SizeAnswers): { log: number; u: number } | null {
  if (pxPerMmByScale === null || pxPerBaselinePx === null) return null;
  return {
    log: Math.log(pxPerMmByScale.value) - Math.log(pxPerBaselinePx),
    u: Math.hypot(pxPerMmByScale.u95 / 2 / pxPerMmByScale.value, SKIN_RATIO_U),
  };
}

/**
 * Two independent answers to "same ratio?" for one pair: by the skin and by the two scales, as follow-up px per baseline px.
 * Both are taken in the middle of the overlap where the readings know the plane, else where the scales lie; what the skin's
 * map says at the two scales' different places then widens its answer.
 *
 * @param h follow-up px → baseline px
 * @param middle of the overlap, baseline px
 */
export function sameRatio(
  h: Matrix3,
  middle: Point,
  baseline: ScaleAnswer | null,
  followup: ScaleAnswer | null,
): SameRatio | null {
  if (!baseline?.found || !followup?.found) return null;
  const [here, there] = [
    sizeNear(baseline, middle),
    sizeNear(followup, applyHomography(invertHomography(h), middle)),
  ];
  if (!here || !there) return null;
  const skins = [sizeOf(h, applyHomography(invertHomography(h), here.at)), sizeOf(h, there.at)] as const;
  const bySkin = Math.sqrt(skins[0] * skins[1]);
  const byScales = there.pxPerMm.value / here.pxPerMm.value;
  // With the square root of the product in the middle, either place lies half their difference away.
  const places = Math.abs(Math.log(skins[0] / skins[1])) / 2;
  const skinU95 = 2 * Math.hypot(SKIN_RATIO_U, places);
  const scalesU95 = Math.hypot(relative(here.pxPerMm), relative(there.pxPerMm));
  return {
    bySkin: { value: bySkin, u95: bySkin * skinU95 },
    byScales: { value: byScales, u95: byScales * scalesU95 },
    agree: Math.abs(Math.log(byScales / bySkin)) <= Math.hypot(skinU95, scalesU95),
  };
}

/** What a person has to know where the two answers do not agree. */
export function ratioWarnings(ratio: SameRatio | null): string[] {
  if (!ratio || ratio.agree) return [];
  const percent = ({ value }: Measured) =>
    `${Math.abs(100 * (value - 1)).toFixed(1)} % ${value >= 1 ? "larger" : "smaller"}`;
  return [
    `by the skin the follow-up is ${percent(ratio.bySkin)}, by the two scales ${percent(ratio.byScales)}, more apart than both allow: one scale did not lie in the plane of the skin, was read wrongly, or the pictures are laid over wrongly`,
  ];
}

const relative = ({ value, u95 }: Measured) => u95 / value;

/** Follow-up px per baseline px round a point of the follow-up. */
function sizeOf(h: Matrix3, at: Point): number {
  const [[a, b], [c, d]] = jacobianAt(h, at);
  return 1 / Math.sqrt(Math.abs(a * d - b * c));
}

function sizeNear({ scales, plane }: ScaleFound, middle: Point): { at: Point; pxPerMm: Measured } | null {
  const scale = scales[0];
  if (!scale) return null;
  if (!plane) return { at: scale.at, pxPerMm: scale.pxPerMm };
  const value = localScalePxPerMm(plane.homographyPxToMm, imagePoint(middle.x, middle.y)).mean;
  return { at: middle, pxPerMm: { value, u95: value * relative(scale.pxPerMm) } };
}
