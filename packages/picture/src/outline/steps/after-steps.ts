import type { XY } from "../../answers.ts";
import { workBox } from "../work-box.ts";
import type { WorkPicture } from "../work-picture.ts";
import { coverOfRing, coverOfStroke } from "./paint.ts";
import { rimPath } from "./rim-path.ts";
import { emptyState, type OutlineState, withBox, withClicks, withCover } from "./state.ts";
import type { OutlineStep } from "./step.ts";

/**
 * The outline after these steps. What was worked out before is kept for as long as the step objects live: undo costs nothing,
 * and one more step costs only itself.
 */
export function afterSteps(
  work: WorkPicture,
  steps: readonly OutlineStep[],
  from: OutlineState = beginning(work),
): OutlineState {
  return steps.reduce((state, step) => {
    const known = after.get(state) ?? new WeakMap<OutlineStep, OutlineState>();
    after.set(state, known);
    const next = known.get(step) ?? afterStep(work, state, step);
    known.set(step, next);
    return next;
  }, from);
}

const after = new WeakMap<OutlineState, WeakMap<OutlineStep, OutlineState>>();
const beginnings = new WeakMap<WorkPicture, OutlineState>();

function beginning(work: WorkPicture): OutlineState {
  const known = beginnings.get(work) ?? emptyState(work);
  beginnings.set(work, known);
  return known;
}

function afterStep(work: WorkPicture, state: OutlineState, step: OutlineStep): OutlineState {
  const place = ([x, y]: XY): XY => [x / work.fullPerWorkX, y / work.fullPerWorkY];
  switch (step.do) {
    case "click": {
      const [x, y] = place(step.at);
      return withClicks(work, state, [{ x, y, isInside: step.inside }]);
    }
    case "box":
      return withBox(work, state, workBox(work, step.box));
    case "rim":
      return withCover(
        state,
        coverOfRing(rimPath(work, step.points.map(place)), state.share),
        step.inside,
        false,
      );
    case "brush": {
      const radius = (2 * step.radiusPx) / (work.fullPerWorkX + work.fullPerWorkY);
      return withCover(state, coverOfStroke(step.points.map(place), radius, state.share), step.inside, true);
    }
    case "draw":
      return withCover(state, coverOfRing(step.points.map(place), state.share), step.inside, true);
  }
}
