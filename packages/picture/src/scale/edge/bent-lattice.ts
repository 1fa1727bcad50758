import { median, solve } from "../numbers.ts";
import { fitLattice, INLIER_PITCH, type Lattice } from "./lattice.ts";

/** A cubic for an edge that is lifted off the surface, a quartic for one that is not lifted evenly. */
const TERMS = 5;

/**
 * The projective lattice of a long edge that is not flat (a ruler on a rounded limb, one that is lifted in its middle):
 * what the projective law leaves is smooth, and a polynomial takes it up.
 */
export function fitBentLattice(numbers: readonly number[], places: readonly number[]): Lattice | null {
  const flat = fitLattice(numbers, places);
  if (!flat) return null;
  const middle = (Math.min(...numbers) + Math.max(...numbers)) / 2;
  const half = (Math.max(...numbers) - Math.min(...numbers)) / 2;
  const t = numbers.map((k) => (k - middle) / half);
  const left = places.map((s, i) => s - flat.at(numbers[i]!));
  let weights = t.map(() => 1);
  let c: number[] = [];
  let residuals = left;
  for (let round = 0; round < 8; round++) {
    const fit = weightedPolynomial(t, left, weights);
    if (!fit) return null;
    c = fit;
    residuals = left.map((r, i) => r - value(c, t[i]!));
    // Tukey's biweight at 95 % efficiency.
    const limit = Math.max(4.7 * 1.48 * median(residuals.map(Math.abs)), 1e-6);
    weights = residuals.map((r) => (Math.abs(r) < limit ? (1 - (r / limit) ** 2) ** 2 : 0));
  }
  const pitch = Math.abs(flat.spacing(middle));
  const inliers = residuals.map((r) => Math.abs(r) < INLIER_PITCH * pitch);
  const used = residuals.filter((_, i) => inliers[i]);
  return {
    at: (k) => flat.at(k) + value(c, (k - middle) / half),
    spacing: (k) => flat.spacing(k) + slope(c, (k - middle) / half) / half,
    rmsPx: Math.sqrt(used.reduce((sum, r) => sum + r * r, 0) / Math.max(1, used.length - 3 - TERMS)),
    inlierShare: used.length / numbers.length,
    inliers,
  };
}

const value = (c: readonly number[], t: number): number => c.reduceRight((sum, v) => sum * t + v, 0);

const slope = (c: readonly number[], t: number): number =>
  c.reduce((sum, v, power) => sum + (power > 0 ? power * v * t ** (power - 1) : 0), 0);

function weightedPolynomial(
  t: readonly number[],
  v: readonly number[],
  w: readonly number[],
): number[] | null {
  const m = Array.from({ length: TERMS }, () => new Float64Array(TERMS + 1));
  t.forEach((x, i) => {
    const powers = Array.from({ length: TERMS }, (_, power) => x ** power);
    powers.forEach((p, r) => {
      powers.forEach((q, k) => {
        m[r]![k]! += w[i]! * p * q;
      });
      m[r]![TERMS]! += w[i]! * p * v[i]!;
    });
  });
  return solve(m);
}
