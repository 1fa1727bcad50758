import { median, solve } from "../numbers.ts";

/**
 * Equal distances on a flat straight edge, seen from anywhere, follow  x(k) = (a k + b) / (c k + 1).
 * `k` counts graduations, `x` runs along the edge in pixels. Fitted with Tukey's weights, so that a graduation
 * spoilt by glare or a scratch has no say.
 * @source Hartley2003 (one-dimensional projective map)
 */
export interface Lattice {
  /** Place of graduation k along the edge. */
  at(k: number): number;
  /** Pixels per graduation at k. */
  spacing(k: number): number;
  readonly rmsPx: number;
  /** Share of the graduations nearer than a fifth of a pitch. */
  readonly inlierShare: number;
  readonly inliers: readonly boolean[];
}

export const INLIER_PITCH = 0.2;

export function fitLattice(numbers: readonly number[], places: readonly number[]): Lattice | null {
  const n = numbers.length;
  if (n < 4) return null;
  const middle = (Math.min(...numbers) + Math.max(...numbers)) / 2;
  const half = Math.max(1, (Math.max(...numbers) - Math.min(...numbers)) / 2);
  const t = numbers.map((k) => (k - middle) / half);
  let weights: number[] = numbers.map(() => 1);
  let p: readonly [number, number, number] = [0, 0, 0];
  let residuals: number[] = [];
  for (let round = 0; round < 12; round++) {
    const fit = weighted(t, places, weights, p[2]);
    if (!fit) return null;
    p = fit;
    residuals = places.map((x, i) => x - value(p, t[i]!));
    const pitch = Math.abs((p[0] - p[1] * p[2]) / half);
    // Never tighter than 1 % of the pitch: a perfect lattice would otherwise throw half its points away.
    const limit = Math.max(4.7 * 1.48 * median(residuals.map(Math.abs)), 0.01 * pitch);
    weights = residuals.map((r) => (Math.abs(r) < limit ? (1 - (r / limit) ** 2) ** 2 : 0));
  }
  const [a, b, c] = p;
  if (Math.abs(c) > 0.8) return null; // nearer than that to the horizon nothing is measurable
  const pitch = Math.abs((a - b * c) / half);
  const inliers = residuals.map((r) => Math.abs(r) < INLIER_PITCH * pitch);
  const used = residuals.filter((_, i) => inliers[i]);
  if (used.length < 4) return null;
  const rmsPx = Math.sqrt(used.reduce((s, r) => s + r * r, 0) / Math.max(1, used.length - 3));
  return {
    at: (k) => value(p, (k - middle) / half),
    spacing: (k) => (a - b * c) / half / (1 + (c * (k - middle)) / half) ** 2,
    rmsPx,
    inlierShare: used.length / n,
    inliers,
  };
}

const value = ([a, b, c]: readonly [number, number, number], t: number) => (a * t + b) / (c * t + 1);

/** One step of  x (c t + 1) = a t + b,  each equation divided by the last (c t + 1) so that residuals are pixels. */
function weighted(
  t: readonly number[],
  x: readonly number[],
  w: readonly number[],
  lastC: number,
): [number, number, number] | null {
  const m = [new Float64Array(4), new Float64Array(4), new Float64Array(4)];
  for (let i = 0; i < t.length; i++) {
    const d = 1 / (lastC * t[i]! + 1);
    const row = [t[i]! * d, d, -t[i]! * x[i]! * d];
    for (let r = 0; r < 3; r++) {
      for (let k = 0; k < 3; k++) m[r]![k]! += w[i]! * row[r]! * row[k]!;
      m[r]![3]! += w[i]! * row[r]! * x[i]! * d;
    }
  }
  const s = solve(m);
  return s && [s[0]!, s[1]!, s[2]!];
}
