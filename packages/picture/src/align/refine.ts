import { invertHomography, type Matrix3, type PointPair } from "@samescale/geometry";
import type { Cv, Scope } from "../vision/opencv.ts";
import { type Assessment, type Assessor, COARSE, FINE, type Level, pairsOf } from "./assess.ts";
import { fitMap, type MapKind } from "./fit-map.ts";
import { robustHomography } from "./propose.ts";

export interface Refined {
  readonly homography: Matrix3;
  readonly kind: MapKind | "proposed";
  /** At the wide level, of the map as the wide steps left it. */
  readonly coarse: Assessment;
  /** Patches that the map rests on, and their root mean square distance from it, working pixels. */
  readonly restsOn: number;
  readonly residualPx: number;
}

/** A patch that looks less alike than this is placed by chance as often as not. */
const LEAST_CORRELATION = 0.4;
const LEAST_PATCHES = 8;

/** Draws a proposed map widely to where the patches are found: enough to compare it with others. */
export function drawWidely(cv: Cv, scope: Scope, assessor: Assessor, start: Matrix3): Refined {
  const state: State = { homography: start, kind: "proposed", restsOn: 0, residualPx: Number.NaN };
  const { assessed, ...drawn } = draw(cv, scope, assessor, state, COARSE, 2.5 * COARSE.reduction, 0);
  return { ...drawn, coarse: assessed };
}

/** Draws a map that was chosen to its last fraction of a pixel. */
export function drawExactly<R extends Refined>(cv: Cv, scope: Scope, assessor: Assessor, map: R): R {
  const { assessed: _, ...drawn } = draw(cv, scope, assessor, map, FINE, 1.5, 0.02);
  return { ...map, ...drawn };
}

/** A step is kept only if more of the picture agrees after it: a refinement may not wander off. */
function draw(
  cv: Cv,
  scope: Scope,
  assessor: Assessor,
  start: State,
  level: Level,
  thresholdPx: number,
  mayLose: number,
): State & { readonly assessed: Assessment } {
  let state: State = start;
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
  const { homography, kind, restsOn, residualPx } = state;
  return { homography, kind, restsOn, residualPx, assessed };
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
