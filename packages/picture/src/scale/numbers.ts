/** Gauss with pivots on an n x (n + 1) system; null when singular. */
export function solve(a: Float64Array[]): number[] | null {
  const n = a.length;
  for (let c = 0; c < n; c++) {
    let p = c;
    for (let r = c + 1; r < n; r++) if (Math.abs(a[r]![c]!) > Math.abs(a[p]![c]!)) p = r;
    if (Math.abs(a[p]![c]!) < 1e-12) return null;
    [a[c], a[p]] = [a[p]!, a[c]!];
    for (let r = 0; r < n; r++) {
      if (r === c) continue;
      const f = a[r]![c]! / a[c]![c]!;
      for (let k = c; k <= n; k++) a[r]![k]! -= f * a[c]![k]!;
    }
  }
  return a.map((row, i) => row[n]! / row[i]!);
}

export const mean = (v: readonly number[]) => v.reduce((a, b) => a + b, 0) / v.length;

/** Of a list that is not empty. */
export function median(v: readonly number[]): number {
  const sorted = Float64Array.from(v).sort();
  const m = sorted.length >> 1;
  return sorted.length % 2 ? sorted[m]! : 0.5 * (sorted[m - 1]! + sorted[m]!);
}

/** Median distance from the median: a spread that outliers do not widen. */
export function medianDeviation(v: readonly number[]): number {
  const m = median(v);
  return median(v.map((x) => Math.abs(x - m)));
}

/**
 * A line through points in order of `s`: median of the slopes between points half a row apart, so that a third of them may
 * be wrong.
 */
export function theilSen(s: readonly number[], v: readonly number[]): { at0: number; slope: number } {
  const half = s.length >> 1;
  const slopes = s.slice(half).map((x, i) => (v[i + half]! - v[i]!) / (x - s[i]!));
  const slope = median(slopes);
  return { slope, at0: median(v.map((y, i) => y - slope * s[i]!)) };
}
