import type { PlannedView } from "../plan/plan-view.ts";

/** What is known of a frame when it is laid against the plan. */
export interface FrameEvidence {
  /** Reproduction ratio read from the picture, null when none was read. */
  readonly magnificationRead: number | null;
  readonly orientation: "landscape" | "portrait";
}

export interface Assignment {
  /** Index of the planned view for each frame, in frame order; null: fits none. */
  readonly viewOfFrame: readonly (number | null)[];
  /** Indexes of planned views that no frame shows. */
  readonly missing: readonly number[];
}

/** What a planned view is known by. */
export type ViewSought = Pick<PlannedView, "magnification"> & {
  readonly view: Pick<PlannedView["view"], "scale"> & {
    readonly orientation: PlannedView["view"]["orientation"] | "either";
  };
};

/** A frame that no view explains better than this is left over for a person: a ratio off by a factor of 1.6. */
const LEFT_OVER_COST = Math.log(1.6);
/** A view nobody made; dear enough that a doubtful frame is rather taken for it. */
const MISSING_COST = 0.3;
/** Reading nothing where a scale was planned says little; reading a scale where none was planned says more. */
const NO_READING_COST = 0.1;
const UNPLANNED_SCALE_COST = 0.25;
const WRONG_ORIENTATION_COST = 0.2;
/** A view made twice in a row. */
const REPEAT_COST = 0.05;

/**
 * Which planned view each frame of one visit shows. Photographers work through the plan in order and may repeat a view, so
 * the frames are laid along the views without crossing, at the least total cost (dynamic programming); the cost of a pair
 * is how far the ratio read lies from the planned one, as a logarithm.
 */
export function assignViews(frames: readonly FrameEvidence[], views: readonly ViewSought[]): Assignment {
  // best[v]: cheapest way to lay the frames so far when the last view used is v - 1 (0: none used yet).
  const steps: { from: number; view: number | null }[][] = [];
  let best: number[] = [0, ...views.map(() => Number.POSITIVE_INFINITY)];
  for (const frame of frames) {
    const next = best.map(() => Number.POSITIVE_INFINITY);
    const step: { from: number; view: number | null }[] = best.map(() => ({ from: 0, view: null }));
    best.forEach((cost, used) => {
      consider(used, cost + LEFT_OVER_COST, { from: used, view: null });
      if (used > 0)
        consider(used, cost + REPEAT_COST + pairCost(frame, views[used - 1]!), {
          from: used,
          view: used - 1,
        });
      for (let view = used; view < views.length; view++) {
        consider(view + 1, cost + MISSING_COST * (view - used) + pairCost(frame, views[view]!), {
          from: used,
          view,
        });
      }
    });
    function consider(state: number, cost: number, how: { from: number; view: number | null }): void {
      if (cost < next[state]!) {
        next[state] = cost;
        step[state] = how;
      }
    }
    steps.push(step);
    best = next;
  }

  const ends = best.map((cost, used) => cost + MISSING_COST * (views.length - used));
  let state = ends.indexOf(Math.min(...ends));
  const viewOfFrame: (number | null)[] = [];
  for (const step of steps.toReversed()) {
    const { from, view } = step[state]!;
    viewOfFrame.unshift(view);
    state = from;
  }
  return { viewOfFrame, missing: views.map((_, i) => i).filter((i) => !viewOfFrame.includes(i)) };
}

function pairCost(frame: FrameEvidence, { view, magnification }: ViewSought): number {
  const asPlanned = view.orientation === "either" || frame.orientation === view.orientation;
  const turned = asPlanned ? 0 : WRONG_ORIENTATION_COST;
  if (frame.magnificationRead === null) return turned + (view.scale === "none" ? 0 : NO_READING_COST);
  if (view.scale === "none") return turned + UNPLANNED_SCALE_COST;
  return turned + Math.abs(Math.log(frame.magnificationRead / magnification));
}
