import {
  applyHomography,
  invertHomography,
  jacobianAt,
  type Matrix3,
  type Point,
  sameSideOfHorizon,
} from "@samescale/geometry";
import type { Cv, Scope } from "../vision/opencv.ts";
import { type Assessor, QUICK } from "./assess.ts";
import { type Detector, features } from "./features.ts";
import { mutualMatches } from "./match.ts";
import { type Proposal, proposals } from "./propose.ts";
import { drawWidely, type Refined } from "./refine.ts";
import { wholeShifts } from "./whole-shift.ts";
import type { WorkPicture } from "./work-picture.ts";

/** A map that was drawn to the pictures, and what speaks for it. */
export interface Candidate extends Refined {
  readonly proposal: Proposal;
  /** Everything that proposed this map, or one that ends at it. */
  readonly proposedBy: readonly string[];
  /** What it is ranked by: how many places agree, what share they are, and whether the middle, the subject, is among them. */
  readonly rank: number;
  readonly inPlace: boolean;
}

const IDENTITY: Matrix3 = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];

/** Maps nearer than this on average are one map; refinement draws them together. Working pixels. */
const SAME_START_PX = 12;
const SAME_END_PX = 4;
/** A hand-held camera does not come back to within this on average; what lies within it has stayed where it was. */
const IN_PLACE_PX = 3;
/** A map with less than this share of the best one's patches behind it cannot become its rival. */
const WORTH_REFINING = 0.2;
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
  const starts = [
    ...proposalsOf(cv, scope, "akaze", baseline, followup),
    ...proposalsOf(cv, scope, "orb", baseline, followup),
    ...wholeShifts(cv, scope, baseline, followup),
  ];
  const sameSize =
    baseline.grey.widthPx === followup.grey.widthPx && baseline.grey.heightPx === followup.grey.heightPx;
  if (sameSize) starts.push({ from: "in place", homography: IDENTITY, support: 0 });

  const different: {
    readonly proposal: Proposal;
    readonly proposedBy: string[];
    readonly promise: number;
  }[] = [];
  for (const proposal of starts.sort((p, q) => q.support - p.support)) {
    if (!isPlausible(proposal.homography, baseline, followup)) continue;
    const known = different.find(
      (d) => meanDistance(d.proposal.homography, proposal.homography, baseline) < SAME_START_PX,
    );
    if (known) {
      known.proposedBy.push(proposal.from);
      continue;
    }
    const { share, patches } = assessor.assess(proposal.homography, QUICK);
    different.push({ proposal, proposedBy: [proposal.from], promise: share * patches.length });
  }
  different.sort((p, q) => q.promise - p.promise);

  const found: Candidate[] = [];
  const most = different[0]?.promise ?? 0;
  for (const { proposal, proposedBy, promise } of different.slice(0, MOST_REFINED)) {
    if (promise < WORTH_REFINING * most) break;
    const refined = drawWidely(cv, scope, assessor, proposal.homography);
    if (!isPlausible(refined.homography, baseline, followup)) continue;
    const { share, middleShare, weights } = refined.coarse;
    const rank = (share * middleShare) ** 0.75 * weights.reduce((s, w) => s + w, 0);
    const inPlace = meanDistance(refined.homography, IDENTITY, baseline) < IN_PLACE_PX;
    found.push({ ...refined, proposal, proposedBy, rank, inPlace });
  }
  found.sort((p, q) => q.rank - p.rank);
  return found.filter((c, i) =>
    found.slice(0, i).every((d) => meanDistance(c.homography, d.homography, baseline) >= SAME_END_PX),
  );
}

/** Ratio of local scales within the overlap: a lean of 60° at close range stays below. */
const MOST_PERSPECTIVE = 5;
/** A tenfold difference is another reproduction ratio, not another visit; the exact limits are the caller's. */
const MOST_SCALE = 10;
const GRID = 8;

export function proposalsOf(
  cv: Cv,
  scope: Scope,
  detector: Detector,
  baseline: WorkPicture,
  followup: WorkPicture,
): Proposal[] {
  const [a, b] = [features(cv, scope, baseline, detector), features(cv, scope, followup, detector)];
  return proposals(cv, scope, detector, a, b, mutualMatches(a, b));
}

/** Whether a camera moved round the subject can have done this, where the pictures overlap: not mirrored, not folded. */
export function isPlausible(h: Matrix3, baseline: WorkPicture, followup: WorkPicture): boolean {
  if (!h.flat().every(Number.isFinite) || isSquashed(h)) return false;
  const back = invertHomography(h);
  const inside = gridOver(baseline, GRID)
    .map((p) => applyHomography(back, p))
    .filter((q) => q.x >= 0 && q.y >= 0 && q.x <= followup.grey.widthPx && q.y <= followup.grey.heightPx);
  if (inside.length === 0 || !sameSideOfHorizon(h, inside)) return false;
  const scales = inside.map((q) => signedScale(h, q));
  const [least, most] = [Math.min(...scales), Math.max(...scales)];
  return least > 1 / MOST_SCALE && most < MOST_SCALE && most <= MOST_PERSPECTIVE * least;
}

const isSquashed = (h: Matrix3): boolean => {
  try {
    invertHomography(h);
    return false;
  } catch {
    return true;
  }
};

/** Root of the local area scale, negative where the map mirrors. */
function signedScale(h: Matrix3, p: Point): number {
  const j = jacobianAt(h, p);
  const area = j[0][0] * j[1][1] - j[0][1] * j[1][0];
  return Math.sign(area) * Math.sqrt(Math.abs(area));
}

function gridOver({ grey }: WorkPicture, steps: number): Point[] {
  return Array.from({ length: steps * steps }, (_, i) => ({
    x: (((i % steps) + 0.5) * grey.widthPx) / steps,
    y: ((Math.floor(i / steps) + 0.5) * grey.heightPx) / steps,
  }));
}

/** Mean distance in the baseline between where two maps put the follow-up's points, over the baseline's frame. */
export function meanDistance(h: Matrix3, g: Matrix3, baseline: WorkPicture): number {
  const back = invertHomography(g);
  const distances = gridOver(baseline, 5).map((p) => {
    const q = applyHomography(h, applyHomography(back, p));
    return Math.hypot(q.x - p.x, q.y - p.y);
  });
  return distances.reduce((sum, d) => sum + d, 0) / distances.length;
}
