import type { XY } from "../../answers.ts";

/**
 * One thing a person did to the outline, in upright full-size pixels (outer-corner origin). `inside` says for every tool alike
 * whether it adds to what is inside or takes away. Plain data: a list of steps can be kept, sent and replayed, and the same
 * steps on the same picture always give the same outline.
 */
export type OutlineStep = ClickStep | BoxStep | RimStep | BrushStep | DrawStep;

/** Points at what is inside (or is not): the first one finds an outline, later ones mend it. */
export interface ClickStep {
  readonly do: "click";
  readonly at: XY;
  readonly inside: boolean;
}

/** A box that holds all of what is looked for: finds an outline in it; clicks in the box keep to it. */
export interface BoxStep {
  readonly do: "box";
  readonly box: readonly [x0: number, y0: number, x1: number, y1: number];
}

/** Clicks on the rim, in order round it: the edge is followed from each to the next and back to the first. */
export interface RimStep {
  readonly do: "rim";
  readonly points: readonly XY[];
  readonly inside: boolean;
}

/** A stroke of a round brush. */
export interface BrushStep {
  readonly do: "brush";
  readonly points: readonly XY[];
  readonly radiusPx: number;
  readonly inside: boolean;
}

/** An edge drawn by hand, closed from its last point to its first. It stays where it was drawn. */
export interface DrawStep {
  readonly do: "draw";
  readonly points: readonly XY[];
  readonly inside: boolean;
}

/** A rim of two points has no side, and neither has a drawn line. */
const LEAST_RING_POINTS = 3;

/** Why a step cannot be taken in a picture of this size, in words; null when it can. */
export function faultOfStep(
  step: OutlineStep,
  full: { readonly widthPx: number; readonly heightPx: number },
): string | null {
  const lies = ([x, y]: XY) => x >= 0 && y >= 0 && x <= full.widthPx && y <= full.heightPx;
  const beyond = ([x, y]: XY) =>
    `The point ${x},${y} lies outside the picture of ${full.widthPx} x ${full.heightPx} px.`;
  switch (step.do) {
    case "click":
      return lies(step.at) ? null : beyond(step.at);
    case "box":
      return boxHoldsNothing(step.box, full) ? "The box holds no part of the picture." : null;
    case "rim": {
      if (step.points.length < LEAST_RING_POINTS) return fewPoints("A rim", step.points.length);
      const stray = step.points.find((p) => !lies(p));
      return stray ? beyond(stray) : null;
    }
    case "brush":
      // A radius that is not a number fails as well.
      if (!(step.radiusPx > 0 && step.radiusPx <= Math.max(full.widthPx, full.heightPx))) {
        return `A brush of radius ${step.radiusPx} px: it has to be above 0 and no larger than the picture.`;
      }
      return strayStroke(step.points, lies, beyond);
    case "draw":
      if (step.points.length < LEAST_RING_POINTS) return fewPoints("A drawn edge", step.points.length);
      return strayStroke(step.points, lies, beyond);
  }
}

const fewPoints = (what: string, count: number) =>
  `${what} of ${count} ${count === 1 ? "point" : "points"} encloses nothing: ${LEAST_RING_POINTS} are needed.`;

/** A hand may run over the picture's border; a stroke that is nowhere in the picture is a mistake. */
function strayStroke(
  points: readonly XY[],
  lies: (p: XY) => boolean,
  beyond: (p: XY) => string,
): string | null {
  const odd = points.find(([x, y]) => !Number.isFinite(x) || !Number.isFinite(y));
  if (odd) return beyond(odd);
  if (points.some(lies)) return null;
  return points[0] ? beyond(points[0]) : "A stroke without points.";
}

function boxHoldsNothing(
  [x0, y0, x1, y1]: BoxStep["box"],
  full: { readonly widthPx: number; readonly heightPx: number },
): boolean {
  const across = Math.min(full.widthPx, Math.max(x0, x1)) - Math.max(0, Math.min(x0, x1));
  const down = Math.min(full.heightPx, Math.max(y0, y1)) - Math.max(0, Math.min(y0, y1));
  return !(across >= LEAST_BOX_PX && down >= LEAST_BOX_PX);
}

const LEAST_BOX_PX = 2;
