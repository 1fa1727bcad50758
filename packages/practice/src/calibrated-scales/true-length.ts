import type { Measured } from "@samescale/geometry";
import { type CalibratedScale, isPrinted, type Measurement } from "./record.ts";

/** What one measurement says of a scale: true over nominal length, along the design's x and y. */
export interface TrueLength {
  readonly measuredOn: string;
  readonly dueOn: string;
  readonly x: Measured;
  readonly y: Measured;
}

/** A scale as the reader of photographs needs to know it. */
export interface ScaleKnown {
  readonly id: string;
  readonly kind: CalibratedScale["kind"];
  readonly printed: boolean;
  readonly withdrawnOn: string | null;
  /** Oldest first. */
  readonly trueLengths: readonly TrueLength[];
}

/**
 * Between a check line and the scale beside it on one sheet, and of paper from a dry day to a damp one, relative
 * standard uncertainty. Assumed: no source was found that gives a figure for office printers.
 */
const PRINT_EVENNESS_U = 0.0005;

export function scaleKnown({ id, kind, withdrawn, measurements }: CalibratedScale): ScaleKnown {
  const printed = isPrinted(kind);
  return {
    id,
    kind,
    printed,
    withdrawnOn: withdrawn?.on ?? null,
    trueLengths: measurements.map((one) => ({
      measuredOn: one.measuredOn,
      dueOn: one.dueOn,
      x: relativeLength(one, printed, ["scale", "check line across"]),
      y: relativeLength(one, printed, ["check line along", "scale", "check line across"]),
    })),
  };
}

/** From the first of these lengths that was measured: the scale itself tells more than a line beside it. */
function relativeLength(
  { lengths, resolutionMm, instrumentU95Mm }: Measurement,
  printed: boolean,
  preferred: readonly string[],
): Measured {
  const length = preferred
    .map((what) => lengths.find((one) => one.what === what))
    .find((one) => one !== undefined);
  if (!length) return { value: 1, u95: 0 };
  const { what, nominalMm, measuredMm } = length;
  // Both ends are read to the resolution: two even distributions of that width.
  const readingU = resolutionMm / Math.sqrt(6);
  const printU = printed && what !== "scale" ? PRINT_EVENNESS_U : 0;
  const u = Math.hypot(readingU / nominalMm, (instrumentU95Mm ?? 0) / 2 / nominalMm, printU);
  return { value: measuredMm / nominalMm, u95: 2 * u };
}
