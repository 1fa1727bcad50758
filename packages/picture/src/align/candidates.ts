import { applyHomography, invertHomography, type Matrix3, sameSideOfHorizon } from "@samescale/geometry";
import type { Cv, Scope } from "../vision/opencv.ts";
import { type Assessor, COARSE } from "./assess.ts";
import { type Detector, features } from "./features.ts";
import { mutualMatches } from "./match.ts";
import { type Proposal, proposals } from "./propose.ts";
import { type Refined, refine } from "./refine.ts";
import type { WorkPicture } from "./work-picture.ts";

/** A map that was drawn to the pictures, and what speaks for it. */
export interface Candidate extends Refined {
  readonly proposal: Proposal;
  /** Weighted number of patches that agree. */
  readonly agreeing: number;
}

const IN_PLACE = "in place";

const IDENTITY: Matrix3 = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];

/** Maps nearer than this on average are one map; refinement draws them together. Working pixels. */
const SAME_START_PX = 12;
const SAME_END_PX = 4;
/** Refining is the costly part; after this many different starts the rest have little behind them. */
const MOST_REFINED = 4;

/**
 * Every different way in which the follow-up may lie over the baseline, the one with most of the picture behind it
 * first. What repeats in place is always among them for pictures of one size: a border, a mark burnt into every frame
 * or a background that did not move would otherwise pass as the subject.
 */
export function candidates(
  cv: Cv,
  scope: Scope,
  baseline: WorkPicture,
  followup: WorkPicture,
  assessor: Assessor,
): Candidate[] {
  const starts: Proposal[] = [];
  for (const detector of ["akaze", "orb"] satisfies Detector[]) {
    const [a, b] = [features(cv, scope, baseline, detector), features(cv, scope, followup, detector)];
    starts.push(...proposals(cv, scope, detector, a, b, mutualMatches(a, b)));
  }
  const sameSize =
    baseline.grey.widthPx === followup.grey.widthPx && baseline.grey.heightPx === followup.grey.heightPx;
  if (sameSize) starts.push({ from: IN_PLACE, homography: IDENTITY, support: 0 });

  const different: { readonly proposal: Proposal; readonly promise: number }[] = [];
  for (const proposal of starts.sort((p, q) => q.support - p.support)) {
    if (!isPlausible(proposal.homography, baseline, followup)) continue;
    if (
      different.some(
        (d) => meanDistance(d.proposal.homography, proposal.homography, baseline) < SAME_START_PX,
      )
    )
      continue;
    const { share, patches } = assessor.assess(proposal.homography, COARSE);
    different.push({ proposal, promise: share * patches.length });
  }
  different.sort((p, q) => q.promise - p.promise);

  const found: Candidate[] = [];
  for (const { proposal } of different.slice(0, MOST_REFINED)) {
    const refined = refine(cv, scope, assessor, proposal.homography);
    if (!isPlausible(refined.homography, baseline, followup)) continue;
    const { share, weights } = refined.coarse;
    found.push({ ...refined, proposal, agreeing: share * weights.reduce((s, w) => s + w, 0) });
  }
  found.sort((p, q) => q.agreeing - p.agreeing);
  return found.filter((c, i) =>
    found.slice(0, i).every((d) => meanDistance(c.homography, d.homography, baseline) >= SAME_END_PX),
  );
}

/** Within these the same subject is still the same picture; beyond them it is another reproduction ratio. */
export const LEAST_SCALE = 0.3;
export const MOST_SCALE = 3;
/** Ratio of the largest to the smallest local scale over the picture: a lean of 45° at close range stays below. */
const MOST_PERSPECTIVE = 4;

/** Whether a camera moved round the subject can have done this: not mirrored, not folded, not a hundredfold. */
export function isPlausible(h: Matrix3, baseline: WorkPicture, followup: WorkPicture): boolean {
  const corners = cornersOf(followup).map((p) => ({ x: p[0], y: p[1] }));
  if (!h.flat().every(Number.isFinite)) return false;
  void baseline;
  if (!sameSideOfHorizon(h, corners)) return false;
  const scales = corners.map((p) => signedScale(h, p));
  if (scales.some((s) => !(s > 0))) return false;
  const [least, most] = [Math.min(...scales), Math.max(...scales)];
  return most / least <= MOST_PERSPECTIVE && least >= LEAST_SCALE / 2 && most <= 2 * MOST_SCALE;
}

/** Root of the local area scale, negative where the map mirrors. */
function signedScale(h: Matrix3, p: { x: number; y: number }): number {
  const w = h[2][0] * p.x + h[2][1] * p.y + h[2][2];
  const [[a, b, c], [d, e, f], [g, i, j]] = h;
  const det = a * (e * j - f * i) - b * (d * j - f * g) + c * (d * i - e * g);
  const area = det / w ** 3;
  return Math.sign(area) * Math.sqrt(Math.abs(area));
}

const cornersOf = ({ grey }: WorkPicture) =>
  [
    [0, 0],
    [grey.widthPx, 0],
    [grey.widthPx, grey.heightPx],
    [0, grey.heightPx],
  ] as const;

/** Mean distance in the baseline between where two maps put the follow-up's points, over the baseline's frame. */
export function meanDistance(h: Matrix3, g: Matrix3, baseline: WorkPicture): number {
  const back = invertHomography(g);
  const { widthPx, heightPx } = baseline.grey;
  const STEPS = 5;
  let sum = 0;
  for (let j = 0; j < STEPS; j++) {
    for (let i = 0; i < STEPS; i++) {
      const p = { x: ((i + 0.5) * widthPx) / STEPS, y: ((j + 0.5) * heightPx) / STEPS };
      const q = applyHomography(h, applyHomography(back, p));
      sum += Math.hypot(q.x - p.x, q.y - p.y);
    }
  }
  return sum / STEPS ** 2;
}
