import type { PatchColour } from "./chart/patch-colour.ts";
import type { Lab } from "./delta-e00.ts";

export interface MeasuredPatch {
  readonly name: string;
  /** Middle of the patch, pixels of the picture that was given. */
  readonly x: number;
  readonly y: number;
  readonly seen: PatchColour | null;
  readonly labD50: Lab;
  /** Why it is left out; null when it is used. */
  readonly leftOut: "outside the picture" | "burnt out" | "a channel at zero" | "covered or in glare" | null;
}

/** A patch that is used has been seen. */
export const isUsed = (patch: MeasuredPatch): boolean => patch.leftOut === null;
