import {
  type Correction,
  type CorrectionKind,
  corrected,
  correctedLabD50,
  NO_TONE,
  TERMS,
} from "./correction.ts";
import type { Lab } from "./delta-e00.ts";
import { leastSquares } from "./least-squares.ts";
import { labD50ToLinear, type Triple } from "./space.ts";
import { visibility, visibleDifference } from "./visible-difference.ts";

/** One usable patch: what the picture shows (gamma-coded, 0 to 1) and what it should be. */
export interface PatchPair {
  readonly coded: Triple;
  readonly labD50: Lab;
}

/** A candidate: which terms, and whether the camera's contrast is undone first. */
export interface Model {
  readonly kind: CorrectionKind;
  readonly withTone: boolean;
}

export const MODELS: readonly Model[] = [
  { kind: "white-balance", withTone: false },
  { kind: "linear", withTone: false },
  { kind: "linear", withTone: true },
  { kind: "root-polynomial", withTone: false },
  { kind: "root-polynomial", withTone: true },
];

export const unknownsOf = ({ kind, withTone }: Model): number =>
  (kind === "white-balance" ? 3 : 3 * TERMS[kind].length) + (withTone ? 2 : 0);

/** Fits one candidate to the patches by least squares of colour differences as large as the eye sees them. */
export function fitCorrection(model: Model, patches: readonly PatchPair[], start?: Correction): Correction {
  const unpack = (p: readonly number[]) => correctionFrom(model, p);
  const scales = patches.map(({ labD50 }) => visibility(labD50));
  const residualsOf = (p: readonly number[]): number[] => {
    const correction = unpack(p);
    const out: number[] = [];
    for (const [i, { coded, labD50 }] of patches.entries()) {
      out.push(...visibleDifference(correctedLabD50(correction, coded), labD50, scales[i]!));
    }
    if (model.withTone) {
      out.push(TONE_REIN * Math.log(correction.tone.exponent), TONE_REIN * correction.tone.s);
    }
    return out;
  };
  return unpack(leastSquares(residualsOf, parametersOf(model, start ?? startOf(model, patches))));
}

/**
 * Holds the curve near none where the patches do not say (black and white both burnt out): an exponent of 0.5, a file
 * with linear values, costs no more than a fifth of a visible difference on one patch.
 */
const TONE_REIN = 0.3;

function correctionFrom({ kind, withTone }: Model, p: readonly number[]): Correction {
  const n = TERMS[kind].length;
  const matrix =
    kind === "white-balance"
      ? [0, 1, 2].map((r) => [0, 1, 2].map((c) => (r === c ? p[r]! : 0)))
      : [0, 1, 2].map((r) => p.slice(r * n, (r + 1) * n));
  const tone = withTone ? { exponent: Math.exp(p.at(-2)!), s: p.at(-1)! } : NO_TONE;
  return { kind, matrix, tone };
}

function parametersOf({ kind, withTone }: Model, { matrix, tone }: Correction): number[] {
  const p = kind === "white-balance" ? matrix.map((row, r) => row[r]!) : matrix.flat();
  return withTone ? [...p, Math.log(tone.exponent), tone.s] : p;
}

/** Starts from one common gain, so that even a strong cast or wrong exposure is near enough. */
function startOf({ kind }: Model, patches: readonly PatchPair[]): Correction {
  const identity: Correction = {
    kind,
    matrix: [0, 1, 2].map((r) => TERMS[kind].map((_, c) => (r === c ? 1 : 0))),
    tone: NO_TONE,
  };
  const gains = ([0, 1, 2] as const).map((c) => {
    let seen = 0;
    let wanted = 0;
    for (const { coded, labD50 } of patches) {
      const rgb = corrected(identity, coded)[c];
      seen += rgb * rgb;
      wanted += rgb * Math.max(0, labD50ToLinear(labD50)[c]);
    }
    return seen > 0 && wanted > 0 ? wanted / seen : 1;
  });
  return { ...identity, matrix: identity.matrix.map((row, r) => row.map((v) => v * gains[r]!)) };
}
