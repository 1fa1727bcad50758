import type { Measured } from "@samescale/geometry";
import type { ReadScale, ScaleFound } from "@samescale/picture";

/** Two scales in one picture that cannot both lie at the subject, square to the camera. */
export interface ScalesDisagree {
  /** How much larger the larger one reads: 1.024 = 2.4 %. */
  readonly factor: Measured;
  /** Height of the larger one above the other that this would take. */
  readonly heightMm: Measured;
}

/** What print and fit leave between two scales that lie level: 0.5 % each for paper. See docs/methods/scale.md. */
const LEAST = 0.01;

/**
 * Compares the scales of one picture that are ruled along about the same direction (so that a lean shortens both alike).
 * The larger lies nearer to the camera: u/(u - h) larger at a height h, u being the object distance. A lean across the
 * two can look the same; the photographer is told of both.
 * @returns null when there are not two such scales, or when they agree
 */
export function scalesDisagree(reading: ScaleFound, objectDistanceMm: number): ScalesDisagree | null {
  const [first, ...others] = reading.scales;
  const other = first && others.find((scale) => isAlong(first, scale) && isApart(first, scale));
  if (!first || !other) return null;
  const [large, small] =
    first.pxPerMm.value >= other.pxPerMm.value
      ? [first.pxPerMm, other.pxPerMm]
      : [other.pxPerMm, first.pxPerMm];
  const factor = large.value / small.value;
  const relative95 = Math.hypot(large.u95 / large.value, small.u95 / small.value);
  if (factor - 1 < Math.max(LEAST, 1.5 * relative95)) return null;
  return {
    factor: { value: factor, u95: factor * relative95 },
    heightMm: {
      value: objectDistanceMm * (1 - 1 / factor),
      u95: (objectDistanceMm * relative95) / factor,
    },
  };
}

const MOST_APART_DEG = 20;

function isAlong(a: ReadScale, b: ReadScale): boolean {
  const apart = Math.abs(a.axisDeg - b.axisDeg) % 180;
  return Math.min(apart, 180 - apart) <= MOST_APART_DEG;
}

/** Two edges of one ruler are not two scales: their read parts lie closer than either is long. */
function isApart(a: ReadScale, b: ReadScale): boolean {
  const distancePx = Math.hypot(a.at.x - b.at.x, a.at.y - b.at.y);
  return distancePx > 0.5 * Math.min(a.coverageMm * a.pxPerMm.value, b.coverageMm * b.pxPerMm.value);
}
