import type { OutlineRegion, XY } from "../answers.ts";
import type { UprightPicture } from "../decode/picture.ts";
import type { WorkClick } from "./edit.ts";
import { regionsOf } from "./regions.ts";
import { afterSteps } from "./steps/after-steps.ts";
import { emptyState, isEmpty, type OutlineState, withBox, withClicks } from "./steps/state.ts";
import { faultOfStep, type OutlineStep } from "./steps/step.ts";
import { uncertainStretches } from "./uncertain-stretches.ts";
import { workBox } from "./work-box.ts";
import { type WorkPicture, workPicture } from "./work-picture.ts";

/** What a person pointed at, in upright full-size pixels (outer-corner origin). */
export interface OutlineClicks {
  readonly inside: readonly XY[];
  readonly outside: readonly XY[];
  readonly box?: readonly [x0: number, y0: number, x1: number, y1: number];
}

export interface Proposal {
  readonly regions: readonly OutlineRegion[];
  /** Why nothing can be proposed; only with no regions. */
  readonly reason?: string;
  readonly warnings: readonly string[];
}

interface Size {
  readonly widthPx: number;
  readonly heightPx: number;
}

/** Smaller than this nothing can be told apart. */
const SMALLEST_SIDE_PX = 16;
/** Of the guesses at different scales: below this they do not show the same thing. */
const LOW_AGREEMENT = 0.7;

/**
 * Proposes an outline from a person's clicks: the first click inside (or the box) finds it, each further click mends it
 * where it is wrong; steps are taken after that. Pure and deterministic: the same pixels and clicks always give the same
 * outline. How clicks inside and outside alternated is not asked; where it is known, give the clicks as steps.
 * @param fullSize size of the upright original, where `picture` is a reduced copy of it
 */
export function proposeOutline(
  picture: UprightPicture,
  { inside, outside, box, steps = [] }: OutlineClicks & { readonly steps?: readonly OutlineStep[] },
  fullSize: Size = picture,
): Proposal {
  const clicks = [...clickSteps(inside, true), ...clickSteps(outside, false)];
  const boxes: OutlineStep[] = box ? [{ do: "box", box }] : [];
  const refusal =
    sizeRefusal(picture, fullSize) ??
    (inside.length === 0 && !box && steps.length === 0 ? "No point inside was given." : null) ??
    firstFault([...clicks, ...boxes, ...steps], fullSize);
  if (refusal) return { regions: [], reason: refusal, warnings: [] };
  const work = workOf(picture, fullSize);
  const place = ({ at: [x, y], inside: isInside }: (typeof clicks)[number]): WorkClick => ({
    x: x / work.fullPerWorkX,
    y: y / work.fullPerWorkY,
    isInside,
  });
  const boxed = box ? withBox(work, emptyState(work), workBox(work, box)) : emptyState(work);
  const clicked = clicks.length > 0 ? withClicks(work, boxed, clicks.map(place)) : boxed;
  return proposalOf(work, steps.length > 0 ? afterSteps(work, steps, clicked) : clicked, picture);
}

/**
 * The outline after a list of steps, in the order in which a person took them. What was worked out for the same picture
 * object before is used again: one more step costs only itself, and undo nothing.
 */
export function outlineBySteps(
  picture: UprightPicture,
  steps: readonly OutlineStep[],
  fullSize: Size = picture,
): Proposal {
  const refusal =
    sizeRefusal(picture, fullSize) ??
    (steps.length === 0 ? "Nothing was pointed at yet." : null) ??
    firstFault(steps, fullSize);
  if (refusal) return { regions: [], reason: refusal, warnings: [] };
  const work = workOf(picture, fullSize);
  return proposalOf(work, afterSteps(work, steps), picture);
}

const clickSteps = (points: readonly XY[], inside: boolean) =>
  points.map((at) => ({ do: "click", at, inside }) as const);

const sizeRefusal = (picture: Size, full: Size): string | null =>
  Math.min(picture.widthPx, picture.heightPx) < SMALLEST_SIDE_PX
    ? `The picture is too small: ${full.widthPx} x ${full.heightPx} px.`
    : null;

function firstFault(steps: readonly OutlineStep[], full: Size): string | null {
  for (const step of steps) {
    const fault = faultOfStep(step, full);
    if (fault) return fault;
  }
  return null;
}

/** Reduced copies of the pictures at hand, for as long as they are. */
const works = new WeakMap<UprightPicture, WorkPicture>();

function workOf(picture: UprightPicture, full: Size): WorkPicture {
  const known = works.get(picture);
  const isSame =
    known?.fullPerWorkX === full.widthPx / (known?.widthPx ?? 0) &&
    known.fullPerWorkY === full.heightPx / known.heightPx;
  if (known && isSame) return known;
  const work = workPicture(picture, full.widthPx, full.heightPx);
  works.set(picture, work);
  return work;
}

function proposalOf(work: WorkPicture, state: OutlineState, picture: UprightPicture): Proposal {
  const regions = regionsOf(work, state, picture).map((region) => ({
    ...region,
    uncertain: uncertainStretches(region, work, state, picture),
  }));
  if (regions.length > 0) return { regions, warnings: warningsOf(state.agreement) };
  return { regions, reason: reasonOf(state), warnings: [] };
}

/** Where nothing was ever found the picture is at fault, else what was done since. */
function reasonOf(state: OutlineState): string {
  if (!isEmpty(state)) return "What is left inside the outline is smaller than can be drawn.";
  return state.agreement === 1
    ? "Nothing stands out from its surroundings at this place."
    : "The clicks leave nothing inside the outline.";
}

function warningsOf(agreement: number): string[] {
  if (agreement >= LOW_AGREEMENT) return [];
  return ["The edge is not clear here: it came out differently at different scales. Look at it closely."];
}
