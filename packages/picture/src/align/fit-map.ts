import { type Fitted, fitAffine, fitHomography, fitSimilarity, type PointPair } from "@samescale/geometry";

export type MapKind = "similarity" | "affine" | "homography";

export interface FittedMap extends Fitted {
  readonly kind: MapKind;
}

const KINDS = [
  ["similarity", fitSimilarity, 4],
  ["affine", fitAffine, 6],
  ["homography", fitHomography, 8],
] as const;

/**
 * The simplest map that the pairs allow: similarity, affine or homography, by the Bayesian information criterion on
 * the squared distances. A few landmarks close together never buy a perspective. Null when not even a similarity fits.
 *
 * @source Schwarz1978
 */
export function fitMap(pairs: readonly PointPair[]): FittedMap | null {
  let best: { readonly map: FittedMap; readonly criterion: number } | null = null;
  // One pixel's hundredth squared: residuals of made-up pictures may vanish, their logarithm must not.
  const SMALLEST = 1e-4;
  for (const [kind, fit, unknowns] of KINDS) {
    // Half as many again as it takes, or the fit only repeats its pairs.
    if (2 * pairs.length < 1.5 * unknowns) continue;
    const fitted = fit(pairs);
    if (!fitted.ok) continue;
    const n = 2 * pairs.length;
    const criterion = n * Math.log(fitted.rmsResidual ** 2 / 2 + SMALLEST) + unknowns * Math.log(n);
    if (!best || criterion < best.criterion) best = { map: { ...fitted, kind }, criterion };
  }
  return best?.map ?? null;
}
