import {
  applyHomography,
  type FitResult,
  type Fitted,
  fitAffine,
  fitHomography,
  fitSimilarity,
  type Matrix3,
  type PointPair,
} from "@samescale/geometry";
import type { MapKind } from "./fit-map.ts";

/** Baseline x, y, follow-up x, y; upright full-size pixels. */
export type PlacedPoint = readonly [bx: number, by: number, fx: number, fy: number];

export type FromPoints =
  | {
      readonly ok: true;
      readonly homography: Matrix3;
      readonly kind: MapKind;
      readonly residualPx: number;
      readonly warnings: readonly string[];
    }
  | { readonly ok: false; readonly reason: string };

export const LEAST_POINTS = 3;

/** A point a person placed carelessly is off by this share of the picture; beyond it a pair is mixed up. */
const CARELESS_SHARE = 0.01;

/**
 * The map follow-up → baseline through points that a person matched: affine of 3, homography of 4 and more when they
 * are spread well enough, else the richest that they allow. With 3 points nothing checks them: that is said.
 */
export function mapFromPoints(points: readonly PlacedPoint[], baselineSidePx: number): FromPoints {
  if (points.length < LEAST_POINTS) {
    return {
      ok: false,
      reason: `at least ${LEAST_POINTS} matched points are needed, ${points.length} were given`,
    };
  }
  const odd = points.findIndex((point) => !point.every(Number.isFinite));
  if (odd >= 0) return { ok: false, reason: `point ${odd + 1} holds something that is not a number` };
  const pairs: PointPair[] = points.map(([bx, by, fx, fy]) => ({
    from: { x: fx, y: fy },
    to: { x: bx, y: by },
  }));
  const kinds = [
    ...(points.length >= 4 ? ([["homography", fitHomography]] as const) : []),
    ["affine", fitAffine],
    ["similarity", fitSimilarity],
  ] as const;
  let refusal = "";
  for (const [kind, fit] of kinds) {
    const fitted = fit(pairs);
    if (!fitted.ok) {
      refusal ||= fitted.reason;
      continue;
    }
    const h = fitted.homography;
    if (h[0][0] * h[1][1] - h[0][1] * h[1][0] <= 0) {
      return {
        ok: false,
        reason: "the points would mirror the picture: two of them are mixed up, or one picture is mirrored",
      };
    }
    return {
      ok: true,
      homography: h,
      kind,
      residualPx: fitted.rmsResidual,
      warnings: warningsFor(kind, fit, pairs, fitted, refusal, baselineSidePx),
    };
  }
  return { ok: false, reason: `no map goes through these points: ${refusal}` };
}

type Fit = (pairs: readonly PointPair[]) => FitResult;

function warningsFor(
  kind: MapKind,
  fit: Fit,
  pairs: readonly PointPair[],
  fitted: Fitted,
  refusal: string,
  baselineSidePx: number,
): string[] {
  const warnings: string[] = [];
  if (refusal) warnings.push(`only ${kind === "affine" ? "an" : "a"} ${kind} map: ${refusal}`);
  if (fitted.degreesOfFreedom === 0) {
    warnings.push("as many points as the map needs: a misplaced one would not show; place one more to check");
    return warnings;
  }
  const limit = CARELESS_SHARE * baselineSidePx;
  const odd = oddOneOut(fit, pairs);
  if (odd && odd.offPx > limit) {
    warnings.push(
      `point ${odd.index + 1} lies ${odd.offPx.toFixed(0)} px from where the others put it: check it`,
    );
  } else if (Math.max(...fitted.residuals) > limit) {
    warnings.push(
      `the points contradict each other by ${Math.max(...fitted.residuals).toFixed(0)} px: check them`,
    );
  }
  return warnings;
}

/** The point without which the others agree best. Null where each is needed to check the rest: none can be named then. */
function oddOneOut(fit: Fit, pairs: readonly PointPair[]): { index: number; offPx: number } | null {
  let best: { index: number; offPx: number; rms: number } | null = null;
  for (const [index, { from, to }] of pairs.entries()) {
    const without = fit(pairs.filter((_, i) => i !== index));
    if (!without.ok) continue;
    if (without.degreesOfFreedom === 0) return null;
    const p = applyHomography(without.homography, from);
    const offPx = Math.hypot(p.x - to.x, p.y - to.y);
    if (!best || without.rmsResidual < best.rms) best = { index, offPx, rms: without.rmsResidual };
  }
  return best;
}
