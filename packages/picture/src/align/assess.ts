import { applyHomography, jacobianAt, type Matrix3 } from "@samescale/geometry";
import type { Cv, Scope } from "../vision/opencv.ts";
import { type Patch, type Search, searchPatches } from "./patches.ts";
import { blurred, type Plane, reducedBy, warped } from "./plane.ts";
import { type Texture, texture } from "./texture.ts";
import type { WorkPicture } from "./work-picture.ts";

/**
 * How well a map lays the follow-up over the baseline, seen patch by patch over the whole overlap: independent of
 * the landmarks that proposed it, blind to light, and with a known level for "by chance".
 */
export interface Assessment {
  readonly patches: readonly Patch[];
  /** Weight of each patch: 1 in the middle of the overlap, less towards its rim. The subject is in the middle. */
  readonly weights: readonly number[];
  /** Weighted share of the patches found again within the tolerance. */
  readonly share: number;
  /** The same for the innermost part: low when a surrounding agrees and what it surrounds does not. */
  readonly middleShare: number;
  /** Part of the baseline that the follow-up covers, 0 to 1. */
  readonly overlap: number;
  /** Long side of the baseline at the level assessed. */
  readonly sidePx: number;
}

/** Pixel sizes are of the level itself. */
export interface Level extends Search {
  readonly reduction: number;
  /** A patch found within this distance agrees. */
  readonly tolerancePx: number;
}

/** Half size, wide reach: is the map right at all? ±20 px of the working size also catch what is bent. */
export const COARSE: Level = { reduction: 2, halfPx: 12, reachPx: 10, stepPx: 16, tolerancePx: 1.5 };
/** The same with a quarter of the patches: which of several maps is worth drawing to the pictures? */
export const QUICK: Level = { ...COARSE, stepPx: 2 * COARSE.stepPx };
/** Working size, short reach: how exactly? */
export const FINE: Level = { reduction: 1, halfPx: 12, reachPx: 4, stepPx: 20, tolerancePx: 1.5 };

/** Assesses maps between one pair of pictures; what belongs to the baseline is worked out once per level. */
export class Assessor {
  readonly #cv: Cv;
  readonly #scope: Scope;
  readonly #baseline: WorkPicture;
  readonly #followup: WorkPicture;
  readonly #known = new Map<
    number,
    { readonly grey: Plane; readonly counts: Plane; readonly texture: Texture }
  >();

  constructor(cv: Cv, scope: Scope, baseline: WorkPicture, followup: WorkPicture) {
    this.#cv = cv;
    this.#scope = scope;
    this.#baseline = baseline;
    this.#followup = followup;
  }

  /** @param h follow-up → baseline, working sizes. Displacements in the result are in pixels of the level. */
  assess(h: Matrix3, level: Level): Assessment {
    const [cv, scope] = [this.#cv, this.#scope];
    const base = this.#baselineAt(level.reduction);
    const k = 1 / level.reduction;
    const toLevel: Matrix3 = [
      [h[0][0] * k, h[0][1] * k, h[0][2] * k],
      [h[1][0] * k, h[1][1] * k, h[1][2] * k],
      h[2],
    ];
    const grey = warped(cv, scope, this.#softened(toLevel), toLevel, base.grey, 0);
    const reached = warped(cv, scope, this.#followup.counts, toLevel, base.grey, 0);
    const counts = inner(cv, scope, reached, base.counts);
    const patches = searchPatches(base.texture, texture(cv, scope, grey), counts, level);
    const distances = squaredDistances(counts, patches);
    const weights = distances.map((d) => Math.exp(-d / 2));
    const agrees = patches.map((p) => Math.hypot(p.dx, p.dy) <= level.tolerancePx);
    return {
      patches,
      weights,
      share: shareOf(agrees, weights),
      middleShare: shareOf(
        agrees,
        distances.map((d) => Math.exp(-d / (2 * MIDDLE ** 2))),
      ),
      overlap: mean(reached),
      sidePx: Math.max(base.grey.widthPx, base.grey.heightPx),
    };
  }

  #baselineAt(reduction: number) {
    let known = this.#known.get(reduction);
    if (!known) {
      const [cv, scope] = [this.#cv, this.#scope];
      const grey = reducedBy(this.#baseline.grey, reduction);
      const counts = reducedBy(this.#baseline.counts, reduction);
      known = { grey, counts, texture: texture(cv, scope, grey) };
      this.#known.set(reduction, known);
    }
    return known;
  }

  /** The follow-up, blurred by what it will be reduced, so that detail finer than the new pixels does not alias. */
  #softened(toLevel: Matrix3): Plane {
    const { grey } = this.#followup;
    const j = jacobianAt(toLevel, { x: grey.widthPx / 2, y: grey.heightPx / 2 });
    const scale = Math.sqrt(Math.abs(j[0][0] * j[1][1] - j[0][1] * j[1][0]));
    if (!(scale < 0.9)) return grey;
    return blurred(this.#cv, this.#scope, grey, 0.5 * Math.sqrt(1 / scale ** 2 - 1));
  }
}

/** What counts in both, drawn in so far that no filter reaches over the rim. */
function inner(cv: Cv, scope: Scope, reached: Plane, counts: Plane): Plane {
  const both = {
    ...reached,
    values: reached.values.map((v, i) => (v > 0.99 && counts.values[i]! > 0.99 ? 1 : 0)),
  };
  const REACH_OF_FILTERS_PX = 4;
  const soft = blurred(cv, scope, both, REACH_OF_FILTERS_PX);
  return { ...both, values: soft.values.map((v) => (v > 0.97 ? 1 : 0)) };
}

/** The middle is half as wide as the overlap's own spread: about the middle seventh of its area. */
const MIDDLE = 0.5;

function shareOf(agrees: readonly boolean[], weights: readonly number[]): number {
  let agreeing = 0;
  let all = 0;
  for (const [i, weight] of weights.entries()) {
    all += weight;
    if (agrees[i]) agreeing += weight;
  }
  return all > 0 ? agreeing / all : 0;
}

/** Squared distance of each patch from the middle of what counts, in standard deviations of that area each way. */
function squaredDistances(counts: Plane, patches: readonly Patch[]): number[] {
  let [n, sx, sy, sxx, syy] = [0, 0, 0, 0, 0];
  for (let y = 0, i = 0; y < counts.heightPx; y++) {
    for (let x = 0; x < counts.widthPx; x++, i++) {
      if (counts.values[i]! < 0.5) continue;
      n++;
      sx += x;
      sy += y;
      sxx += x * x;
      syy += y * y;
    }
  }
  const [mx, my] = [sx / n, sy / n];
  const [vx, vy] = [sxx / n - mx * mx, syy / n - my * my];
  return patches.map((p) => (p.x - mx) ** 2 / vx + (p.y - my) ** 2 / vy);
}

function mean(plane: Plane): number {
  return plane.values.reduce((s, v) => s + v, 0) / plane.values.length;
}

/** Pairs follow-up → baseline, working sizes, that the patches of an assessment found; `back`: the assessed map undone. */
export function pairsOf(assessment: Assessment, level: Level, back: Matrix3, leastCorrelation: number) {
  const k = level.reduction;
  return assessment.patches.flatMap((p) => {
    const atRim = Math.max(Math.abs(p.dx), Math.abs(p.dy)) > level.reachPx - 1;
    if (atRim || p.correlation < leastCorrelation) return [];
    return [
      {
        from: applyHomography(back, { x: (p.x + p.dx) * k, y: (p.y + p.dy) * k }),
        to: { x: p.x * k, y: p.y * k },
      },
    ];
  });
}
