import { quantileOf } from "./cells.ts";
import type { EdgePlace } from "./edge-spread.ts";

/** Directions are told apart in so many bins over 180°. */
const BINS = 12;
/** Edges that a bin must hold to count, and bins that must count. */
const LEAST_IN_BIN = 12;
const LEAST_BINS = 9;
const SHARPEST = 0.15;
const STRONGEST = 60;
/** The law must explain this share of what the bins differ by. */
const EXPLAINED = 0.6;
/** A line of length L has the standard deviation L / sqrt(12). */
const LENGTH_PER_SIGMA = Math.sqrt(12);

/**
 * Movement during the exposure spreads edges that lie across it and leaves those along it: σ²(θ) = c + m cos²(θ − φ), fitted
 * to the sharpest edges of every direction. Null where the subject has not edges enough all round, or where it does not fit.
 */
export function motionOf(
  edges: readonly EdgePlace[],
): { readonly lengthPx: number; readonly directionDeg: number } | null {
  const points: { readonly deg: number; readonly variance: number }[] = [];
  for (let bin = 0; bin < BINS; bin++) {
    const own = edges.filter(({ acrossDeg }) => Math.floor((acrossDeg / 180) * BINS) % BINS === bin);
    if (own.length < LEAST_IN_BIN) continue;
    const sigma = quantileOf(
      own.slice(0, STRONGEST).map(({ sigmaPx }) => sigmaPx),
      SHARPEST,
    );
    points.push({ deg: ((bin + 0.5) * 180) / BINS, variance: sigma ** 2 });
  }
  if (points.length < LEAST_BINS) return null;
  const n = points.length;
  const mean = points.reduce((sum, p) => sum + p.variance, 0) / n;
  // cos² is a wave of twice the angle: its two parts by least squares over bins that are nearly evenly spaced.
  let [a, b, all] = [0, 0, 0];
  for (const { deg, variance } of points) {
    const twice = (2 * deg * Math.PI) / 180;
    a += (2 / n) * (variance - mean) * Math.cos(twice);
    b += (2 / n) * (variance - mean) * Math.sin(twice);
    all += (variance - mean) ** 2 / n;
  }
  const wave = Math.hypot(a, b);
  if (all === 0 || wave ** 2 / 2 < EXPLAINED * all) return null;
  const directionDeg = ((Math.atan2(b, a) * 90) / Math.PI + 180) % 180;
  return { lengthPx: LENGTH_PER_SIGMA * Math.sqrt(2 * wave), directionDeg };
}
