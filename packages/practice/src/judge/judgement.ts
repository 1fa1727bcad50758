import type { Tolerances } from "../department/tolerances.ts";
import type { PlannedView } from "../plan/plan-view.ts";
import type { FrameSeen } from "./frame-seen.ts";

/** One thing about a frame that strays from its plan. */
export type Finding =
  | {
      readonly what: "ratio";
      readonly planned: number;
      readonly read: number;
      /** + = move back. */
      readonly moveMm: number;
    }
  | { readonly what: "lean"; readonly deg: number; readonly recedesDeg: number | null }
  | { readonly what: "scale-plane"; readonly heightMm: number }
  | {
      readonly what: "focus";
      readonly blurMm: number;
      readonly on: "subject" | "nothing";
      readonly moved: boolean;
    }
  | {
      readonly what: "exposure";
      readonly burntOut?: number;
      readonly blocked?: number;
      readonly stops?: number;
    }
  | {
      readonly what: "framing";
      readonly turn?: "landscape" | "portrait";
      readonly cut?: readonly ("left" | "top" | "right" | "bottom")[];
      readonly aimedOff?: { readonly x: number; readonly y: number };
      readonly seenFromDeg?: { readonly right: number; readonly below: number };
    }
  | { readonly what: "roll"; readonly deg: number }
  | { readonly what: "chart"; readonly says: string }
  | { readonly what: "mirrored"; readonly planned: boolean }
  | {
      readonly what: "backdrop";
      readonly unevenStops?: number;
      readonly creases?: number;
      readonly shadowStops?: number;
    }
  | { readonly what: "light"; readonly turnedDeg: number };

/** A finding, how much it weighs, and what the hand does about it: a sentence without its full stop. */
export interface Judgement {
  readonly finding: Finding;
  /** "note": worth knowing, and no reason against the frame. */
  readonly weighs: "repeat" | "your-choice" | "note";
  readonly say: string;
}

/** What a frame is held against: a planned view, or as much of one as is known. */
export interface ViewToJudge extends Pick<PlannedView, "magnification" | "focalMm"> {
  readonly view: Pick<PlannedView["view"], "scale" | "mirrored" | "bordersCrossed" | "lens"> & {
    readonly orientation: PlannedView["view"]["orientation"] | "either";
  };
}

/** What a judging function sees. */
export interface Judging {
  readonly planned: ViewToJudge;
  readonly seen: FrameSeen;
  readonly tolerances: Tolerances;
  /** Pictures compared over time: the narrower ratio tolerance holds. */
  readonly series: boolean;
}

/** What one judging function answers: findings, and what it could not judge. */
export interface Judged {
  readonly judgements: readonly Judgement[];
  readonly notJudged: readonly string[];
}

export const FINE: Judged = { judgements: [], notJudged: [] };
export const notJudged = (...what: string[]): Judged => ({ judgements: [], notJudged: what });
export const judged = (...judgements: Judgement[]): Judged => ({ judgements, notJudged: [] });
