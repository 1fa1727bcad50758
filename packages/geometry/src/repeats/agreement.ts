import { coverageFactor95 } from "../uncertainty/coverage.ts";
import type { Measured } from "../uncertainty/measured.ts";
import { meanOf, sdOf } from "./spread.ts";

/** How two ways of measuring the same things differ. */
export interface Agreement {
  readonly pairs: number;
  /** Mean of second less first. */
  readonly bias: Measured;
  /** Standard deviation of the differences. */
  readonly sd: number;
  /** Between these, 95 % of differences are expected to lie; each with its own interval. */
  readonly lower: Measured;
  readonly upper: Measured;
}

/**
 * Limits of agreement: bias plus and minus 1.96 standard deviations of the differences, with standard errors
 * sqrt(s²/n) of the bias and sqrt(3 s²/n) of the limits, Student's t with n - 1 degrees of freedom.
 * Differences in proportion to the size are better judged on logarithms: pass logarithms.
 * @source BlandAltman1986
 * @returns null for fewer than three pairs
 */
export function agreementOf(pairs: readonly (readonly [first: number, second: number])[]): Agreement | null {
  const n = pairs.length;
  if (n < 3) return null;
  const differences = pairs.map(([first, second]) => second - first);
  const bias = meanOf(differences);
  const sd = sdOf(differences);
  const t = coverageFactor95(n - 1);
  const limit = (sense: 1 | -1): Measured => ({
    value: bias + sense * 1.96 * sd,
    u95: t * Math.sqrt((3 * sd * sd) / n),
  });
  return {
    pairs: n,
    bias: { value: bias, u95: (t * sd) / Math.sqrt(n) },
    sd,
    lower: limit(-1),
    upper: limit(1),
  };
}
