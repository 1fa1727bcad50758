/** A share with the interval that holds the true one in 95 of 100 cases, in percent. */
export interface Share {
  readonly count: number;
  readonly of: number;
  readonly percent: number;
  readonly least: number;
  readonly most: number;
}

/** Two-sided 95 % of the normal distribution. */
const Z = 1.96;

/** Wilson's interval for a binomial share (E. B. Wilson 1927): holds near 0 and 1 too. */
export function shareOf<T>(all: readonly T[], which: (one: T) => boolean): Share {
  const n = all.length;
  const count = all.filter(which).length;
  if (n === 0) return { count, of: n, percent: Number.NaN, least: 0, most: 100 };
  const p = count / n;
  const middle = (p + Z ** 2 / (2 * n)) / (1 + Z ** 2 / n);
  const half = (Z / (1 + Z ** 2 / n)) * Math.sqrt((p * (1 - p)) / n + Z ** 2 / (4 * n ** 2));
  return { count, of: n, percent: 100 * p, least: 100 * (middle - half), most: 100 * (middle + half) };
}

/** Nearest rank; NaN of nothing. */
export function quantile(values: readonly number[], q: number): number {
  const sorted = Float64Array.from(values).sort();
  return sorted.length > 0
    ? sorted[Math.min(sorted.length - 1, Math.ceil(q * sorted.length) - 1)]!
    : Number.NaN;
}
