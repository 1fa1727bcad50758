/** How a number is spread over what was counted: half of it lies between the quartiles. */
export interface Spread {
  readonly count: number;
  /** Null: nothing was counted. */
  readonly lowerQuartile: number | null;
  readonly median: number | null;
  readonly upperQuartile: number | null;
}

/**
 * Median and quartiles, between two values along a straight line.
 * @source Hyndman1996 (definition 7)
 */
export function spreadOf(values: readonly number[]): Spread {
  const sorted = values.toSorted((a, b) => a - b);
  return {
    count: sorted.length,
    lowerQuartile: at(sorted, 0.25),
    median: at(sorted, 0.5),
    upperQuartile: at(sorted, 0.75),
  };
}

function at(sorted: readonly number[], part: number): number | null {
  if (sorted.length === 0) return null;
  const place = part * (sorted.length - 1);
  const [below, above] = [sorted[Math.floor(place)]!, sorted[Math.ceil(place)]!];
  return below + (place - Math.floor(place)) * (above - below);
}
