import { invertHomography, type Matrix3, type PointPair } from "@samescale/geometry";
import type { Cv, Scope } from "../vision/opencv.ts";
import { type Assessment, type Assessor, COARSE, FINE, type Level, pairsOf } from "./assess.ts";
import { fitMap, type MapKind } from "./fit-map.ts";
import { robustHomography } from "./propose.ts";

export interface Refined {
  readonly homography: Matrix3;
  readonly kind: MapKind | "proposed";
  readonly coarse: Assessment;
  readonly fine: Assessment;
  /** Patches that the final map rests on, and their root mean square distance from it, working pixels. */
  readonly restsOn: number;
  readonly residualPx: number;
}

/** A patch that looks less alike than this is placed by chance as often as not. */
const LEAST_CORRELATION = 0.4;
const LEAST_PATCHES = 8;

/**
 * Draws a proposed map to where the patches are found, first widely, then exactly. A step is kept only if more of the
 * picture agrees after it: a refinement may not wander off.
 */
export function refine(cv: Cv, scope: Scope, assessor: Assessor, start: Matrix3): Refined {
  let state: State = { homography: start, kind: "proposed", restsOn: 0, residualPx: Number.NaN };
  let coarse = assessor.assess(start, COARSE);
  for (let step = 0; step < 2; step++) {
    const tried = stepOf(cv, scope, state.homography, coarse, COARSE, 2.5 * COARSE.reduction);
    if (!tried) break;
    const assessed = assessor.assess(tried.homography, COARSE);
    if (assessed.share < coarse.share) break;
    [state, coarse] = [tried, assessed];
  }
  let fine = assessor.assess(state.homography, FINE);
  for (let step = 0; step < 2; step++) {
    const tried = stepOf(cv, scope, state.homography, fine, FINE, 1.5);
    if (!tried) break;
    const assessed = assessor.assess(tried.homography, FINE);
    if (assessed.share < 0.98 * fine.share) break;
    [state, fine] = [tried, assessed];
  }
  return { ...state, coarse, fine };
}

type State = Pick<Refined, "homography" | "kind" | "restsOn" | "residualPx">;

function stepOf(
  cv: Cv,
  scope: Scope,
  h: Matrix3,
  assessment: Assessment,
  level: Level,
  thresholdPx: number,
): State | null {
  const pairs = pairsOf(assessment, level, invertHomography(h), LEAST_CORRELATION);
  if (pairs.length < LEAST_PATCHES) return null;
  const robust = robustHomography(
    cv,
    scope,
    pairs.map(({ from }) => [from.x, from.y] as const),
    pairs.map(({ to }) => [to.x, to.y] as const),
    thresholdPx,
  );
  if (!robust) return null;
  const inliers: PointPair[] = pairs.filter((_, i) => robust.inliers[i]);
  if (inliers.length < LEAST_PATCHES) return null;
  const map = fitMap(inliers);
  if (!map) return null;
  return { homography: map.homography, kind: map.kind, restsOn: inliers.length, residualPx: map.rmsResidual };
}
