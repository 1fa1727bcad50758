import { applyHomography, composeHomographies, type Matrix3 } from "@samescale/geometry";
import type { Bending } from "../answers.ts";
import type { GreyPicture } from "../decode/picture.ts";
import { withVision } from "../vision/opencv.ts";
import { Assessor, COARSE } from "./assess.ts";
import { bendingOf, scaledBending } from "./bending.ts";
import { candidates } from "./candidates.ts";
import { decide } from "./decide.ts";
import { describe, movementWarnings } from "./describe.ts";
import type { MapKind } from "./fit-map.ts";
import { isMirrored } from "./mirrored.ts";
import { drawExactly } from "./refine.ts";
import { type LeftOut, workPicture } from "./work-picture.ts";

export interface LaidOver {
  readonly aligned: true;
  /** Follow-up → baseline, pixels of the pictures given. */
  readonly homography: Matrix3;
  readonly kind: MapKind;
  /** Weighted share of the places compared that agree, 0 to 1. */
  readonly agreement: number;
  /** Root mean square distance of the places the map rests on, baseline pixels. */
  readonly residualPx: number;
  /** Places the map rests on. */
  readonly matches: number;
  /** What proposed the map, each without knowing of the others. */
  readonly proposedBy: readonly string[];
  /** Where it was asked for; baseline pixels. */
  readonly bending: Bending | null;
  readonly warnings: readonly string[];
}

export type LaidOverOrNot =
  | LaidOver
  | { readonly aligned: false; readonly reason: string; readonly mirrored?: true };

/** Two patches of the coarse comparison with their reach, side by side. */
const SMALLEST_SIDE_PX = 100;

/**
 * Lays a follow-up over its baseline by what both show: landmarks propose maps, the picture's own texture judges and
 * refines them. Pure: same pixels, same answer.
 *
 * @param leftOut polygons that must not count, such as the wound, a scale, a label; pixels of each picture
 * @param options.bend look for what bends beside the plane's map, outside of what is left out
 */
export async function alignPictures(
  baseline: GreyPicture,
  followup: GreyPicture,
  leftOut: { readonly baseline: LeftOut; readonly followup: LeftOut },
  options: { readonly bend?: boolean } = {},
): Promise<LaidOverOrNot> {
  const shortest = Math.min(baseline.widthPx, baseline.heightPx, followup.widthPx, followup.heightPx);
  if (shortest < SMALLEST_SIDE_PX) {
    return { aligned: false, reason: `a picture only ${shortest} px across shows too little to be compared` };
  }
  return await withVision((cv, scope) => {
    const base = workPicture(cv, scope, baseline, leftOut.baseline);
    const follow = workPicture(cv, scope, followup, leftOut.followup);
    const assessor = new Assessor(cv, scope, base, follow);
    const decision = decide(candidates(cv, scope, base, follow, assessor), (candidate) =>
      drawExactly(cv, scope, assessor, candidate),
    );
    if (!decision.aligned) {
      const mirrored = isMirrored(cv, scope, base, follow);
      return mirrored
        ? { aligned: false, reason: "one of the two pictures is mirrored", mirrored: true }
        : decision;
    }
    const { chosen } = decision;
    const kx = base.grey.widthPx / baseline.widthPx;
    const ky = base.grey.heightPx / baseline.heightPx;
    const homography = composeHomographies(
      scaling(1 / kx, 1 / ky),
      composeHomographies(
        chosen.homography,
        scaling(follow.grey.widthPx / followup.widthPx, follow.grey.heightPx / followup.heightPx),
      ),
    );
    return {
      aligned: true,
      homography,
      kind: chosen.kind,
      agreement: chosen.coarse.share,
      residualPx: chosen.residualPx / Math.sqrt(kx * ky),
      matches: chosen.restsOn,
      proposedBy: chosen.proposedBy,
      bending: options.bend
        ? scaledBending(
            bendingOf(
              assessor.assess(chosen.homography, COARSE),
              base.grey,
              keptStill(chosen.homography, leftOut, kx, follow.grey.widthPx / followup.widthPx),
            ),
            1 / Math.sqrt(kx * ky),
          )
        : null,
      warnings: [...decision.warnings, ...movementWarnings(describe(homography, baseline, followup))],
    };
  });
}

/** What must not bend: what was left out of either picture, where it lies in the baseline. */
function keptStill(
  h: Matrix3,
  leftOut: { readonly baseline: LeftOut; readonly followup: LeftOut },
  toBase: number,
  toFollow: number,
): LeftOut {
  const here = leftOut.baseline.map((ring) => ring.map(([x, y]) => [x * toBase, y * toBase] as const));
  const there = leftOut.followup.map((ring) =>
    ring.map(([x, y]) => {
      const p = applyHomography(h, { x: x * toFollow, y: y * toFollow });
      return [p.x, p.y] as const;
    }),
  );
  return [...here, ...there];
}

const scaling = (x: number, y: number): Matrix3 => [
  [x, 0, 0],
  [0, y, 0],
  [0, 0, 1],
];
