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
  const drawn = (level: Level, thresholdPx: number, mayLose: number): Assessment => {
    let assessed = assessor.assess(state.homography, level);
    for (let step = 0; step < MOST_STEPS; step++) {
      const tried = stepOf(cv, scope, state.homography, assessed, level, thresholdPx);
      if (!tried) break;
      const next = assessor.assess(tried.homography, level);
      if (next.share < (1 - mayLose) * assessed.share) break;
      const settled = level.reduction * typicalDistance(assessed) < SETTLED_PX;
      [state, assessed] = [tried, next];
      if (settled) break;
    }
    return assessed;
  };
  const coarse = drawn(COARSE, 2.5 * COARSE.reduction, 0);
  const fine = drawn(FINE, 1.5, 0.02);
  return { ...state, coarse, fine };
}

const MOST_STEPS = 2;
/** When the patches lie this near before a step, in working pixels, another one changes nothing. */
const SETTLED_PX = 0.3;

/** Median distance of the patches that agree. */
function typicalDistance({ patches }: Assessment): number {
  const near = patches.map((p) => Math.hypot(p.dx, p.dy)).filter((d) => d <= COARSE.tolerancePx);
  near.sort((a, b) => a - b);
  return near[Math.floor(near.length / 2)] ?? Number.POSITIVE_INFINITY;
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
