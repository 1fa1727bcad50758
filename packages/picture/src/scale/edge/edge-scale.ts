import type { Point } from "@samescale/geometry";
import { baseLineOf } from "./base-line.ts";
import type { GraduationRow } from "./graduations.ts";
import type { BarLengths } from "./lengths.ts";

/**
 * Pixels per graduation anywhere along an edge, with its uncertainty. The projective law of the lattice, and beside
 * it a polynomial that may bend as a lens bends: where the graduations themselves ask for it, the polynomial is
 * used, and the difference of the two is a part of the uncertainty either way.
 */
export interface EdgeScale {
  /** Length in pixels of one graduation at k, along the edge. */
  spacingPx(k: number): number;
  /** Unit vector of the edge: that of the line of the bars' feet where it is known. */
  direction(k: number): Point;
  /** Relative standard uncertainty at k, from the scatter of the graduations and the choice of the law. */
  relativeU(k: number): number;
  /** Scatter of the graduations about the law used. */
  readonly rmsPx: number;
  /** The graduations bend as no plane explains: by the lens, or because the edge itself is bent. */
  readonly bends: boolean;
}

/** Polynomial degree: a lens's third-order term bends the places by a cubic; one more for decentring. */
const DEGREE = 4;
/** Bayesian gain needed to leave the projective law: odds beyond doubt. */
const LEAST_GAIN = 12;
/** Neighbouring graduations err together (printing, a bowed edge); in simulation 95 % of errors were within 3.4 u. */
const CORRELATION = 1.7;

/** @param lengths of the row's bars, where they stand on a line; lines without ends have no feet */
export function edgeScale(row: GraduationRow, lengths?: BarLengths): EdgeScale {
  const { strip, lattice, graduations } = row;
  const line = lengths && !strip.open ? baseLineOf(row, lengths) : NO_LINE;
  const n = graduations.length;
  const first = graduations[0]!.k;
  const last = graduations.at(-1)!.k;
  const middle = (first + last) / 2;
  const half = (last - first) / 2;
  const t = graduations.map((g) => (g.k - middle) / half);
  const residuals = graduations.map((g) => g.s - lattice.at(g.k));
  const bend = fitBend(t, residuals, DEGREE);
  const left = residuals.reduce((sum, r, i) => sum + (r - bend.value(t[i]!)) ** 2, 0);
  const all = residuals.reduce((sum, r) => sum + r * r, 0);
  const gain = n * Math.log(all / Math.max(left, 1e-12 * all)) - (DEGREE - 1) * Math.log(n);
  const bends = n > 4 * DEGREE && gain > LEAST_GAIN;
  const rmsPx = Math.sqrt((bends ? left : all) / Math.max(1, n - (bends ? DEGREE + 1 : 3)));
  return {
    rmsPx,
    bends,
    direction(k) {
      const { x, y } = stretch(k);
      const length = Math.hypot(x, y);
      return { x: x / length, y: y / length };
    },
    spacingPx(k) {
      const along = lattice.spacing(k) + (bends ? bend.slope((k - middle) / half) / half : 0);
      const { x, y } = stretch(k);
      return Math.abs(along) * Math.hypot(x, y);
    },
    relativeU(k) {
      const at = (k - middle) / half;
      const spacing = Math.abs(lattice.spacing(k));
      const scatter =
        (CORRELATION * rmsPx * Math.sqrt(bend.slopeVariance(at, bends ? DEGREE : 2))) / half / spacing;
      const law = Math.abs(bend.slope(at)) / half / spacing / Math.sqrt(3); // rectangular
      // With too few graduations for the polynomial, scatter alone is known.
      return Math.hypot(scatter, n > 4 * DEGREE ? (bends ? 0.5 : 1) * law : 0, line.slopeU * slant(k));
    },
  };

  /** Pixels along the edge per pixel along the chord. */
  function stretch(k: number): Point {
    const s = lattice.at(k);
    const d = strip.pitchPx;
    const [a, b, bar] = [strip.at(s - d, 0), strip.at(s + d, 0), strip.bar(s)];
    return { x: (b.x - a.x) / (2 * d) + line.slope * bar.x, y: (b.y - a.y) / (2 * d) + line.slope * bar.y };
  }

  /** Where bars are slanted to the edge, an error of its direction is one of the distance: cosine of their angle. */
  function slant(k: number): number {
    const s = lattice.at(k);
    const [e, b] = [strip.edge(s), strip.bar(s)];
    return Math.abs(e.x * b.x + e.y * b.y);
  }
}

const NO_LINE = { slope: 0, slopeU: 0 };

interface Bend {
  value(t: number): number;
  slope(t: number): number;
  /** Variance of the slope of a polynomial of that degree through the same points, for unit scatter. */
  slopeVariance(t: number, degree: number): number;
}

/** Least squares in polynomials orthogonal over the points themselves (Stieltjes' recurrence). */
function fitBend(t: readonly number[], v: readonly number[], degree: number): Bend {
  const alpha: number[] = [];
  const beta: number[] = [0];
  const norms: number[] = [];
  for (let d = 0; d <= degree; d++) {
    const values = t.map((x) => polynomial(x, d)[0]);
    const norm = values.reduce((sum, p) => sum + p * p, 0);
    norms.push(norm);
    alpha.push(values.reduce((sum, p, i) => sum + t[i]! * p * p, 0) / norm);
    if (d > 0) beta[d] = norm / norms[d - 1]!;
  }
  const c = norms.map((norm, d) => t.reduce((sum, x, i) => sum + v[i]! * polynomial(x, d)[0], 0) / norm);
  return {
    value: (x) => c.reduce((sum, cd, d) => sum + cd * polynomial(x, d)[0], 0),
    slope: (x) => c.reduce((sum, cd, d) => sum + cd * polynomial(x, d)[1], 0),
    slopeVariance(x, upTo) {
      return norms.slice(0, upTo + 1).reduce((sum, norm, d) => sum + polynomial(x, d)[1] ** 2 / norm, 0);
    },
  };

  /** Value and slope at x of the polynomial of degree d. */
  function polynomial(x: number, d: number): readonly [number, number] {
    let [before, slopeBefore, value, slope] = [0, 0, 1, 0];
    for (let i = 0; i < d; i++) {
      const next = (x - alpha[i]!) * value - beta[i]! * before;
      const slopeNext = value + (x - alpha[i]!) * slope - beta[i]! * slopeBefore;
      [before, slopeBefore, value, slope] = [value, slope, next, slopeNext];
    }
    return [value, slope];
  }
}
