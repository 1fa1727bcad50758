import type { Point } from "@samescale/geometry";
import { mean, median, solve } from "../numbers.ts";
import type { Track } from "./track.ts";

/**
 * The edge as a smooth curve with the direction of the bars along it, in picture pixels. `s` runs along the
 * curve, so that a bowed ruler's bars stay evenly spaced; the curve's offset from its chord is a quadratic, because rulers bow and lenses bend; the direction of
 * the bars turns linearly, because a leaning picture fans them.
 */
export interface Strip {
  /** Picture point of a place `s` along the edge, `o` along the bar (pixels). */
  at(s: number, o: number): Point;
  /** Unit vector of the bars at `s`. */
  bar(s: number): Point;
  /** Unit vector of the edge at `s`. */
  edge(s: number): Point;
  /** Where the stations lie. */
  readonly from: number;
  readonly to: number;
  /** Mean distance of the bars along the edge. */
  readonly pitchPx: number;
  /** The same at a place, as the track saw it: a leaning edge changes by a third. */
  pitchAt(s: number): number;
  /** The rows in which every bar stands, as offsets along the bar. */
  readonly band: readonly [number, number];
  /** The bars have no ends within reach: the lines of a grid. */
  readonly open: boolean;
}

export function stripOf({ level, stations }: Track): Strip {
  const scale = level.scale;
  const first = stations[0]!;
  const last = stations.at(-1)!;
  const n = stations.length;
  const ox = mean(stations.map((p) => p.x)) * scale;
  const oy = mean(stations.map((p) => p.y)) * scale;
  let ex = n > 1 ? last.x - first.x : first.ux;
  let ey = n > 1 ? last.y - first.y : first.uy;
  const length = Math.hypot(ex, ey);
  ex /= length;
  ey /= length;
  const chord = stations.map((p) => (p.x * scale - ox) * ex + (p.y * scale - oy) * ey);
  const across = stations.map((p) => (p.y * scale - oy) * ex - (p.x * scale - ox) * ey);
  const straight = robustPolynomial(chord, across, n >= 3 ? 1 : 0);
  const bowed = n >= 6 ? robustPolynomial(chord, across, 2) : straight;
  const curve = gain(chord, across, straight, bowed) > LEAST_BOW_GAIN ? bowed : straight;
  const along = chord.map((c) => c + excess(curve, c));
  // The bars' angle against the chord's normal.
  const angles = stations.map((p) => Math.atan2(-(p.tx * ex + p.ty * ey), p.ty * ex - p.tx * ey));
  const fan = robustPolynomial(along, angles, n >= 6 ? 1 : 0);
  const pitchPx = median(stations.map((p) => p.pitchPx)) * scale;
  const logs = stations.map((p) => Math.log(p.pitchPx * scale));
  const pitches = robustPolynomial(along, logs, n >= 8 ? 2 : n >= 4 ? 1 : 0);
  const halfBand = 0.5 * median(stations.map((p) => p.bandPitches)) * pitchPx;
  const value = (c: readonly number[], s: number) => c[0]! + s * (c[1]! + s * c[2]!);
  const bar = (s: number): Point => {
    const a = value(fan, s);
    return { x: -Math.sin(a) * ex - Math.cos(a) * ey, y: -Math.sin(a) * ey + Math.cos(a) * ex };
  };
  return {
    at(s, o) {
      const c = s - excess(curve, s);
      const q = value(curve, c);
      const b = bar(s);
      return { x: ox + c * ex - q * ey + o * b.x, y: oy + c * ey + q * ex + o * b.y };
    },
    bar,
    edge(s) {
      const slope = curve[1]! + 2 * (s - excess(curve, s)) * curve[2]!;
      const l = Math.hypot(1, slope);
      return { x: (ex - slope * ey) / l, y: (ey + slope * ex) / l };
    },
    from: along[0]!,
    to: along.at(-1)!,
    pitchPx,
    pitchAt: (s) => Math.exp(value(pitches, Math.max(along[0]!, Math.min(along.at(-1)!, s)))),
    band: [-halfBand, halfBand],
    open: stations.filter((p) => p.open).length > n / 2,
  };
}

/** By how much the curve from 0 to c is longer than its chord: the integral of half its slope squared. */
function excess([, b, a]: readonly number[], c: number): number {
  return 0.5 * c * (b! * b! + 2 * a! * b! * c + (4 / 3) * a! * a! * c * c);
}

/** Bayesian gain of the bow's one parameter: a few stations that scatter must not bend a straight edge. */
const LEAST_BOW_GAIN = 6;

/** Gain of a second curve over a first, by the points' robust scatter about each. */
function gain(
  s: readonly number[],
  v: readonly number[],
  first: readonly number[],
  second: readonly number[],
): number {
  const scatter = (c: readonly number[]) =>
    median(v.map((y, i) => Math.abs(y - c[0]! - s[i]! * (c[1]! + s[i]! * c[2]!))));
  const [a, b] = [scatter(first), scatter(second)];
  return a > 0 ? 2 * s.length * Math.log(a / Math.max(b, 1e-3 * a)) - Math.log(s.length) : 0;
}

/** Least squares with Tukey's weights; coefficients of 1, s, s². */
function robustPolynomial(s: readonly number[], v: readonly number[], degree: 0 | 1 | 2): number[] {
  let weights = s.map(() => 1);
  let c = [median(v), 0, 0];
  if (degree === 0) return c;
  for (let round = 0; round < 6; round++) {
    c = polynomial(s, v, weights, degree);
    const residual = v.map((y, i) => Math.abs(y - c[0]! - s[i]! * (c[1]! + s[i]! * c[2]!)));
    const limit = Math.max(4.7 * 1.48 * median(residual), 1e-9); // Tukey's biweight at 95 % efficiency
    weights = residual.map((r) => (r < limit ? (1 - (r / limit) ** 2) ** 2 : 0));
  }
  return c;
}

function polynomial(
  s: readonly number[],
  v: readonly number[],
  w: readonly number[],
  degree: number,
): number[] {
  const n = degree + 1;
  const unit = Math.max(1e-9, ...s.map(Math.abs));
  const a = Array.from({ length: n }, () => new Float64Array(n + 1));
  s.forEach((raw, i) => {
    const powers = Array.from({ length: n }, (_, k) => (raw / unit) ** k);
    for (let r = 0; r < n; r++) {
      for (let c = 0; c < n; c++) a[r]![c]! += w[i]! * powers[r]! * powers[c]!;
      a[r]![n]! += w[i]! * powers[r]! * v[i]!;
    }
  });
  const solved = solve(a) ?? [median(v)];
  return [0, 1, 2].map((k) => (solved[k] ?? 0) / unit ** k);
}
