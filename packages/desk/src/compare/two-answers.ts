import type { Measured } from "@samescale/geometry";
import { type SizeAnswers, scaleOverSkin } from "@samescale/picture";

/** One picture's scale against the others', as the skin sees it. */
export interface ScaleOffset {
  /** By how much the scale reads larger than the subject: 1.024 = 2.4 % too many pixels per millimetre. */
  readonly factor: Measured;
  /** Of the scale above (+) or below (-) the subject's surface that this would take. */
  readonly heightMm: Measured;
  /** True when it is more than chance and more than the skin's alignment can carry. */
  readonly stands: boolean;
}

/** Below this nobody should move a scale: the thickness of a paper label at arm's length. */
const LEAST_OFFSET = 0.01;

/**
 * Two independent answers to "same ratio?" for every picture of a series: the scale's and the skin's. Where they disagree
 * in one picture against the others, that picture's scale lay out of the subject's plane: a scale nearer to the
 * camera by h shows larger by u/(u - h), u being the object distance. Needs three pictures to tell which one is off
 * (the median is taken as right); with two it only tells that they disagree.
 * @returns one entry per picture, null where one of the answers is missing or fewer than three have both
 */
export function scaleOffsets(
  pictures: readonly SizeAnswers[],
  objectDistanceMm: number,
): readonly (ScaleOffset | null)[] {
  const offsets = pictures.map(scaleOverSkin);
  const known = offsets.filter((o) => o !== null);
  if (known.length < 3) return pictures.map(() => null);
  const middle = medianOf(known.map((o) => o.log));
  // The median of n values is known to about 1.25 u / sqrt(n).
  const uMiddle = (1.25 * Math.hypot(...known.map((o) => o.u))) / known.length;
  return offsets.map((offset) => {
    if (offset === null) return null;
    const log = offset.log - middle;
    const u = Math.hypot(offset.u, uMiddle);
    const factor = Math.exp(log);
    return {
      factor: { value: factor, u95: 2 * u * factor },
      heightMm: { value: objectDistanceMm * (1 - 1 / factor), u95: (2 * u * objectDistanceMm) / factor },
      stands: Math.abs(log) > Math.max(LEAST_OFFSET, 3 * u),
    };
  });
}

function medianOf(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  const half = sorted.length / 2;
  return (sorted[Math.floor(half - 0.5)]! + sorted[Math.floor(half)]!) / 2;
}
