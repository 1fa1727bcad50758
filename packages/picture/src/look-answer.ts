import type { Measured } from "@samescale/geometry";
import type { Recipe, ScaleAnswer } from "./answers.ts";

/**
 * What one frame shows beyond scale, colour and alignment: numbers only. Whether a number is good enough is the
 * practice's to say. Whatever could not be judged says why. Pixels are those of the upright picture; directions are
 * degrees in the picture, 0 = right, 90 = down.
 */
export interface LookAnswer {
  readonly file: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly subject: Judged<SubjectSeen>;
  readonly focus: { readonly subject: Judged<Sharpness>; readonly scale: Judged<Sharpness> };
  readonly exposure: Judged<SkinExposure>;
  readonly backdrop: Judged<BackdropSeen>;
  readonly light: Judged<LightSide>;
  readonly roll: Judged<RollSeen>;
  readonly warnings: readonly string[];
  readonly recipe: Recipe;
}

export type Judged<T> = ({ readonly judged: true } & T) | NotJudged;

export interface NotJudged {
  readonly judged: false;
  /** In words for the photographer. */
  readonly why: string;
}

/** One value for each side of the frame. */
export interface Sides {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** Skin and what lies on it, against what is behind. */
export interface SubjectSeen {
  /** Skin fills the frame: no backdrop worth the name is seen. */
  readonly fillsFrame: boolean;
  /** Share of the frame. */
  readonly share: number;
  /** Edges of the box round it, px. */
  readonly boxPx: Sides;
  /** Share of each border of the frame through which it runs out, 0 to 1. */
  readonly runsOut: Sides;
  /** Its middle (mean place) from the frame's middle, as a share of the frame's width and height; + = right, down. */
  readonly offCentre: { readonly x: number; readonly y: number };
  /** How well its colours part from the backdrop's, 0 (not at all) to 1; 1 where it fills the frame. */
  readonly distinctness: number;
}

/** How far the sharpest detail there is spread out. */
export interface Sharpness {
  /** Diameter of the disc that would blur a point alike, px of the full-size picture; includes the camera's own least. */
  readonly blurPx: Measured;
  /** Places of edges that it rests on. */
  readonly edges: number;
  /** Blur along one direction beyond that across it; null where none is told apart. Direction 0 to 180. */
  readonly motion: { readonly lengthPx: number; readonly directionDeg: number } | null;
}

/** Of the skin alone: backdrop, scale and things left out. */
export interface SkinExposure {
  /** Median CIE L* (D65). */
  readonly lightness: number;
  /** L* that 5 % and 95 % of the skin stay below. */
  readonly lightnessRange: { readonly low: number; readonly high: number };
  /** Median luminance, linear, 1 = white: twice as much is one stop more. Compare it with the baseline's. */
  readonly luminance: number;
  /** Shares of the subject with a channel at its end. */
  readonly burntOut: {
    readonly share: number;
    /** The part of it in small bright spots, as of a lamp mirrored in wet or greasy skin. */
    readonly glareShare: number;
    /** The largest connected part of it that is no such spot. */
    readonly largestShare: number;
  };
  /** Share of the subject too dark to hold detail. */
  readonly blocked: number;
  /** Exposure against what it should be, in stops: + = too bright. Skin's own colour plays no part in it. */
  readonly stops: Judged<ExposureStops>;
}

export interface ExposureStops {
  readonly value: number;
  readonly u95: number;
  /** The white that it rests on has burnt out: it is at least so much. */
  readonly isAtLeast: boolean;
  readonly from: "scale";
}

export interface BackdropSeen {
  /** Share of the frame. */
  readonly share: number;
  /** Median colour, CIE L*a*b* (D65). */
  readonly lab: readonly [L: number, a: number, b: number];
  /** Brightest to darkest part of its smooth light, stops. */
  readonly unevennessStops: number;
  /** Folds and creases: root mean square of what departs from the smooth light, relative to it, noise taken off. */
  readonly creases: number;
  /** Shadow of the subject with an edge on it: how much darker than its surroundings, stops; 0: none seen. */
  readonly shadowStops: number;
  /** Where the shadow lies from the subject; null: none seen. */
  readonly shadowTowardsDeg: number | null;
}

export interface LightSide {
  /** Where the light comes from. */
  readonly fromDeg: number;
  readonly u95Deg: number;
  /** Brighter to darker side of the subject along that direction, stops. */
  readonly stops: Measured;
  /** What it rests on. */
  readonly by: "subject" | "subject and backdrop";
}

export interface RollSeen {
  /** Turn of the scale's axis from the nearest of the frame's axes, clockwise +, -45 to 45. */
  readonly deg: Measured;
  readonly by: "scale";
}

/** Reading of the scale and look from one decoding of the file. */
export interface BedsideAnswer {
  readonly scale: ScaleAnswer;
  readonly look: LookAnswer;
  /** Wall-clock times in the worker. */
  readonly seconds: { readonly decode: number; readonly scale: number; readonly look: number };
}
