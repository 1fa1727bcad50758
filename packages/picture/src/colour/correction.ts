import type { DescribedCorrection } from "../colour-answers.ts";
import type { Lab } from "./delta-e00.ts";
import { linearToLabD50, srgbToLinear, type Triple } from "./space.ts";

/**
 * How colours are corrected: each gamma-coded channel goes through the tone curve, is made linear, the terms are
 * formed and multiplied by the matrix; the result is linear RGB of the sRGB primaries.
 */
export interface Correction {
  readonly kind: CorrectionKind;
  /** One row per output channel, one number per term. */
  readonly matrix: readonly (readonly number[])[];
  /** The same curve for all channels; see `toned`. */
  readonly tone: Tone;
}

export interface Tone {
  readonly exponent: number;
  readonly s: number;
}

export const NO_TONE: Tone = { exponent: 1, s: 0 };

export type CorrectionKind = "white-balance" | "linear" | "root-polynomial";

export const TERMS: Readonly<Record<CorrectionKind, readonly string[]>> = {
  "white-balance": ["R", "G", "B"],
  linear: ["R", "G", "B"],
  "root-polynomial": ["R", "G", "B", "sqrt(RG)", "sqrt(GB)", "sqrt(RB)"],
};

/**
 * The terms of one colour in linear light. All of them, roots included, grow in proportion to exposure:
 * `termsOf(k rgb) = k termsOf(rgb)`, so a correction made at one exposure holds at another.
 *
 * @source FinlaysonMackiewiczHurlbert2015 (degree 2)
 */
export function termsOf(kind: CorrectionKind, [r, g, b]: Triple): number[] {
  if (kind !== "root-polynomial") return [r, g, b];
  return [r, g, b, Math.sqrt(r * g), Math.sqrt(g * b), Math.sqrt(r * b)];
}

/**
 * What a camera (or its operator) did to the tones, undone: `v → v^exponent`, then `w → w + s w (1 − w)(1 − 2w)`.
 * The exponent covers another gamma, up to a file that holds linear values; `s` the bend at both ends. Black and
 * white stay where they are. @param coded 0 to 1
 */
export function toned(coded: number, tone: Tone): number {
  const w = coded ** tone.exponent;
  return w + tone.s * w * (1 - w) * (1 - 2 * w);
}

/** Corrected linear RGB (may lie outside 0 to 1) of a gamma-coded colour. */
export function corrected(correction: Correction, coded: Triple): Triple {
  const linear = (v: number) => srgbToLinear(Math.min(1, Math.max(0, toned(v, correction.tone))));
  const terms = termsOf(correction.kind, [linear(coded[0]), linear(coded[1]), linear(coded[2])]);
  const channel = (row: readonly number[]) => row.reduce((sum, m, i) => sum + m * terms[i]!, 0);
  const [r = [], g = [], b = []] = correction.matrix;
  return [channel(r), channel(g), channel(b)];
}

export const correctedLabD50 = (correction: Correction, coded: Triple): Lab =>
  linearToLabD50(corrected(correction, coded));

/** In words that let anyone apply it. */
export const described = ({ kind, matrix, tone }: Correction): DescribedCorrection => ({
  space: "linear light, sRGB primaries, D65; in and out",
  kind,
  tone,
  terms: TERMS[kind],
  matrix,
});
