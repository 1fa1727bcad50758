import type { Measured } from "@samescale/geometry";
import type { Doubt } from "../unit/judge.ts";

/** A scale that the department has measured, as its calibration record tells it. */
export interface KnownScale {
  readonly id: string;
  readonly withdrawnOn: string | null;
  /** True over nominal length along the scale's own x and y; oldest measurement first, days as 2026-11-25. */
  readonly trueLengths: readonly {
    readonly measuredOn: string;
    readonly dueOn: string;
    readonly x: Measured;
    readonly y: Measured;
  }[];
}

/** A scale's length for one photograph. */
export interface OwnLength {
  readonly id: string;
  readonly measuredOn: string | null;
  readonly x: Measured;
  readonly y: Measured;
  /** What a person must be told of it. */
  readonly warnings: readonly string[];
}

/** Half-width of 95 % of an office printer's page that nobody measured. Assumed. */
const NEVER_MEASURED_U95 = 0.005;

/** By the last measurement before the photograph, and what is to be said of it. */
export function ownLength(id: string, known: readonly KnownScale[], day: string): OwnLength {
  const scale = known.find((one) => one.id === id);
  const before = scale?.trueLengths.filter(({ measuredOn }) => measuredOn <= day);
  const measured = before?.at(-1) ?? scale?.trueLengths[0];
  if (!scale || !measured) {
    const nominal = { value: 1, u95: NEVER_MEASURED_U95 };
    const percent = 100 * NEVER_MEASURED_U95;
    const says = `Scale ${id} has no calibration record: its printed length is taken as nominal ± ${percent} %.`;
    return { id, measuredOn: null, x: nominal, y: nominal, warnings: [says] };
  }
  const { measuredOn, dueOn, x, y } = measured;
  const warnings: string[] = [];
  if (measuredOn > day) {
    warnings.push(
      `Scale ${id} was first measured on ${measuredOn}, after this photograph of ${day}: check the camera's clock.`,
    );
  }
  if (dueOn < day) {
    warnings.push(`Scale ${id} was due to be measured again on ${dueOn}, before this photograph of ${day}.`);
  }
  if (scale.withdrawnOn !== null && scale.withdrawnOn <= day) {
    warnings.push(`Scale ${id} was withdrawn on ${scale.withdrawnOn}: it should not have been used.`);
  }
  return { id, measuredOn, x, y, warnings };
}

export const told = (warnings: readonly string[]): Doubt[] => warnings.map((says) => ({ says, u95: 0 }));
