import type { Measured } from "@samescale/geometry";

/** Something that was judged, or the reason in words why it could not be. */
export type Told<T> = ({ readonly judged: true } & T) | { readonly judged: false; readonly why: string };

/** What the scale in one frame told; null where it did not. */
export interface FrameReading {
  readonly reproductionRatio: Measured | null;
  readonly leanDeg: Measured | null;
  /** In the picture, the way in which the subject's plane recedes: 0 right, 90 down; null: not known. */
  readonly recedesDeg?: number | null;
  /** Why the ratio is not known, when it is not: no scale was read, or nothing tells the sensor's width. */
  readonly notFoundReason: string | null;
  /** The numerals or the chart stand as in a mirror; null: nothing tells. */
  readonly mirrored?: boolean | null;
  /** Free of the sensor: width of the field over its height decides the orientation of the frame. */
  readonly widthPx: number;
  readonly heightPx: number;
  readonly warnings: readonly string[];
}

/** What one reading alone does not show: two scales in the picture that disagree, or the skin against the scale over a series. */
export interface Observation {
  readonly what: "scale-plane";
  readonly by: "two-scales" | "series";
  readonly heightMm: Measured;
}

/** What the picture shows beyond its scale. */
export interface FrameLook {
  readonly subject: Told<{
    readonly fillsFrame: boolean;
    readonly runsOut: {
      readonly left: number;
      readonly top: number;
      readonly right: number;
      readonly bottom: number;
    };
    readonly offCentre: { readonly x: number; readonly y: number };
    /** How well it stands out from what is behind, 0 to 1. */
    readonly distinctness: number;
  }>;
  readonly focus: { readonly subject: Told<Sharpness>; readonly scale: Told<Sharpness> };
  readonly exposure: Told<{
    readonly luminance: number;
    readonly burntOut: { readonly share: number; readonly glareShare: number };
    readonly blocked: number;
    readonly stops: Told<{
      readonly value: number;
      readonly u95: number;
      /** The white that it rests on has burnt out. */
      readonly isAtLeast: boolean;
    }>;
  }>;
  readonly backdrop: Told<{
    readonly unevennessStops: number;
    readonly creases: number;
    readonly shadowStops: number;
  }>;
  readonly light: Told<{ readonly fromDeg: number; readonly u95Deg: number }>;
  readonly roll: Told<{ readonly deg: Measured }>;
}

interface Sharpness {
  readonly blurPx: Measured;
  readonly motion: { readonly lengthPx: number; readonly directionDeg: number } | null;
}

/** The colour chart, where the view asks for one in the frame. */
export type ChartSeen = Told<{ readonly usable: boolean; readonly says: string | null }>;

/** The frame against the baseline of its series. */
export type AgainstBaseline = Told<{
  /** Clockwise, seen from behind the camera. */
  readonly turnedDeg: number;
  /** How far beside the baseline's middle it was aimed, shares of the frame: + = right, down. */
  readonly aimedOff: { readonly x: number; readonly y: number };
  /** Side from which the surface is seen; null: cannot be told. */
  readonly seenFromDeg: { readonly right: number; readonly below: number } | null;
  /** Turn of the light's side; null where one of the two does not show it. */
  readonly lightTurnedDeg: number | null;
  /** Brighter (+) or darker skin; null where it was not judged. */
  readonly brighterStops: number | null;
}>;

/** All that is known of one frame when it is judged. */
export interface FrameSeen {
  readonly reading: FrameReading;
  /** Null: not looked at. */
  readonly look?: FrameLook | null;
  /** Null: no chart is asked for. */
  readonly chart?: ChartSeen | null;
  /** Null: there is no baseline. */
  readonly baseline?: AgainstBaseline | null;
  readonly observations?: readonly Observation[];
}
