import type { Measured } from "@samescale/geometry";
import type { Verdict } from "../judge/judge-frame.ts";
import type { PlannedView } from "../plan/plan-view.ts";

/**
 * What was really done for one view at one visit, as far as picture, file and plan tell. Null: it is not known. Lengths in
 * mm, shares of the upright frame.
 */
export interface FrameDone {
  /** As the camera named it. */
  readonly name: string;
  readonly sha256: string;
  /** Day of the visit; null where no clock could be believed. */
  readonly date: string | null;
  readonly verdict: Pick<Verdict, "verdict" | "say">;
  /** As it was planned when the frame was judged, and for which sensor. */
  readonly planned: PlannedView;
  readonly plannedBody: { readonly id: string; readonly name: string; readonly longMm: number };
  readonly picture: PictureDone;
  readonly file: FileDone;
}

/** Read from the picture. */
export interface PictureDone {
  readonly widthPx: number;
  readonly heightPx: number;
  /** In the middle, square to the line of sight: gives the field without asking for the sensor. */
  readonly pxPerMm: Measured | null;
  readonly ratio: Measured | null;
  /** Why the ratio was not read, or what it rests on. */
  readonly ratioFrom: string | null;
  readonly leanDeg: Measured | null;
  readonly scale: {
    readonly kind: string;
    readonly at: { readonly x: number; readonly y: number };
    /** Turn of its edge from the nearest of the frame's edges, clockwise +. */
    readonly turnedDeg: number;
  } | null;
  /** The reading was brought down to the subject: so far above it (+) the scale lay. */
  readonly scaleHeightMm: number | null;
  /** Null: nobody looked for one. */
  readonly chartFound: boolean | null;
  readonly subject: SubjectDone | null;
  /** Where the light came from, 0 = right, 90 = below; stops from the bright to the dark side. */
  readonly light: { readonly fromDeg: number; readonly u95Deg: number; readonly stops: Measured } | null;
}

/** How the subject stood in the frame. */
export interface SubjectDone {
  readonly fillsFrame: boolean;
  readonly share: number;
  readonly offCentre: { readonly x: number; readonly y: number };
  /** Share of each border through which it runs out. */
  readonly runsOut: {
    readonly left: number;
    readonly top: number;
    readonly right: number;
    readonly bottom: number;
  };
}

/** As the camera wrote it. */
export interface FileDone {
  readonly camera: string | null;
  readonly lens: string | null;
  readonly focalMm: number | null;
  readonly fNumber: number | null;
  readonly exposureS: number | null;
  readonly iso: number | null;
  readonly flashFired: boolean | null;
  /** Long side of the sensor. */
  readonly sensorLongMm: number | null;
}

/** Where a number comes from. */
export type ToldBy = "picture" | "file" | "plan";

/** A number that says who told it. */
export interface Told<T> {
  readonly value: T;
  readonly by: ToldBy;
}

export const told = <T>(value: T, by: ToldBy): Told<T> => ({ value, by });

/** The first that is known of several witnesses, in the order in which they are believed. */
export function firstTold<T>(...witnesses: readonly (readonly [T | null, ToldBy])[]): Told<T> | null {
  const found = witnesses.find(([value]) => value !== null);
  return found ? told(found[0] as T, found[1]) : null;
}
