import type { Matrix3 } from "@samescale/geometry";
import type { Cv, Scope } from "../vision/opencv.ts";
import type { Features } from "./features.ts";
import type { Matches } from "./match.ts";

/** A map from follow-up to baseline (working sizes) that a group of matched landmarks agrees on. */
export interface Proposal {
  readonly from: string;
  readonly homography: Matrix3;
  /** Matched landmarks that agree. */
  readonly support: number;
}

/** In pixels of the working size: landmarks are good to about one, curved skin adds as much again. */
const THRESHOLD_PX = 3;
/** A homography can be made of any 4 pairs; twice as many seldom agree by chance. */
const LEAST_SUPPORT = 8;
const GROUPS = 3;

/**
 * The best homography of the matches, then the best of those that do not follow it, and so on: a picture may hold more than
 * one thing that moved, and the strongest is not always the subject.
 */
export function proposals(
  cv: Cv,
  scope: Scope,
  name: string,
  baseline: Features,
  followup: Features,
  matches: Matches,
): Proposal[] {
  const found: Proposal[] = [];
  let left = matches.a.map((_, k) => k);
  for (let group = 0; group < GROUPS && left.length >= LEAST_SUPPORT; group++) {
    const fit = robustHomography(
      cv,
      scope,
      left.map((k) => at(followup, matches.b[k]!)),
      left.map((k) => at(baseline, matches.a[k]!)),
      THRESHOLD_PX,
    );
    if (!fit || fit.inliers.filter(Boolean).length < LEAST_SUPPORT) break;
    found.push({
      from: group === 0 ? name : `${name}, group ${group + 1}`,
      homography: fit.homography,
      support: fit.inliers.filter(Boolean).length,
    });
    left = left.filter((_, k) => !fit.inliers[k]);
  }
  return found;
}

type XY = readonly [x: number, y: number];
const at = (f: Features, i: number): XY => [f.xy[2 * i]!, f.xy[2 * i + 1]!];

/** MAGSAC++ with the library's fixed seed: the same pairs give the same answer. @source Barath2020 */
export function robustHomography(
  cv: Cv,
  scope: Scope,
  from: readonly XY[],
  to: readonly XY[],
  thresholdPx: number,
): { readonly homography: Matrix3; readonly inliers: readonly boolean[] } | null {
  if (from.length < 4) return null;
  const source = scope.own(cv.matFromArray(from.length, 1, cv.CV_32FC2, from.flat()));
  const target = scope.own(cv.matFromArray(to.length, 1, cv.CV_32FC2, to.flat()));
  const mask = scope.own(new cv.Mat());
  const MOST_TRIES = 5000;
  const h = scope.own(
    cv.findHomography(source, target, cv.USAC_MAGSAC, thresholdPx, mask, MOST_TRIES, 0.999),
  );
  if (h.rows !== 3 || h.cols !== 3) return null;
  const [a, b, c, d, e, f, g, i, j] = h.data64F;
  const homography = [
    [a!, b!, c!],
    [d!, e!, f!],
    [g!, i!, j!],
  ] as const;
  if (!homography.flat().every(Number.isFinite)) return null;
  return { homography, inliers: Array.from(mask.data, (v) => v !== 0) };
}
