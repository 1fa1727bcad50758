import type { ErrorReport } from "@samescale/errors";
import type { Measured } from "@samescale/geometry";

/**
 * What the picture commands answer, one object per photograph. These shapes are promised to other programs
 * (the command contracts); fields may be added, none may go. Pixels are those of the upright picture.
 */

/** What made a result, so that it can be made again and a change of method is visible. */
export interface Recipe {
  readonly step: string;
  /** Raised whenever the method's numbers change. */
  readonly version: number;
  readonly parameters: Readonly<Record<string, unknown>>;
}

export interface Unreadable {
  readonly file: string;
  readonly error: ErrorReport;
}

export type XY = readonly [x: number, y: number];
export type Matrix3 = readonly [
  readonly [number, number, number],
  readonly [number, number, number],
  readonly [number, number, number],
];

// --- info -----------------------------------------------------------------------------------------------

export interface InfoAnswer {
  readonly file: string;
  readonly format: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly orientation: number;
  readonly takenAt: { readonly raw: string; readonly iso: string | null; readonly zone: string } | null;
  readonly make: string | null;
  readonly model: string | null;
  readonly lens: string | null;
  readonly focalMm: number | null;
  readonly fNumber: number | null;
  readonly exposureS: number | null;
  readonly iso: number | null;
  readonly flashFired: boolean | null;
  readonly subjectDistanceMm: number | null;
  /** Along the sensor's rows: the upright picture's width, or its height with orientation 5 to 8. */
  readonly sensorWidthMm: { readonly value: number; readonly from: string } | null;
  /** Why the picture is not the camera's whole frame, pixel for pixel, and why it may not be; null: nothing tells of it. */
  readonly frame: {
    readonly changed: string | null;
    readonly writtenAgain: string | null;
    /** A camera is named, but the notes that its maker adds are not there: few cameras write none, many programs drop them. */
    readonly notesMissing: boolean;
  };
  readonly sha256: string;
  readonly bytes: number;
  readonly warnings: readonly string[];
}

// --- scale ----------------------------------------------------------------------------------------------

export interface ScaleTick {
  readonly x: number;
  readonly y: number;
  /** Distance along the edge from the first graduation read. */
  readonly mm: number;
}

/** What settled the unit of a scale. "person" wherever one said so, also where the graduations agree. */
export type UnitSource = "graduations" | "numerals" | "two-sided" | "blocks" | "person" | "code";

export interface ReadScale {
  readonly kind: "straight" | "L" | "label" | "marker" | "unknown";
  /** Which scale of the department it is: by its code, or as a person says. */
  readonly id?: string;
  readonly unit: "mm" | "cm" | "inch";
  /** Absent from readings of earlier versions. */
  readonly unitFrom?: UnitSource;
  readonly pxPerMm: Measured;
  readonly at: { readonly x: number; readonly y: number };
  readonly axisDeg: number;
  readonly ticks: readonly ScaleTick[];
  readonly coverageMm: number;
  readonly residualPx: number;
}

export interface ScalePlane {
  readonly homographyPxToMm: Matrix3;
  readonly tiltDeg: Measured;
}

export interface ScaleFound {
  readonly file: string;
  /** Of the file's bytes: a reading counts for this picture only. Absent from readings of earlier versions. */
  readonly sha256?: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly found: true;
  readonly scales: readonly ReadScale[];
  readonly plane: ScalePlane | null;
  readonly reproductionRatio: Measured | null;
  /** What the ratio rests on, or why it is not known. Absent from readings of earlier versions. */
  readonly ratioFrom?: string;
  /** From the lens to the sensor, in pixels, by the file's focal length and the ratio; where both are known. */
  readonly imageDistancePx?: number;
  /** Its numerals are turned over, as in a mirror. Absent: they were not read, or stand as they should. */
  readonly mirrored?: true;
  readonly warnings: readonly string[];
  readonly recipe: Recipe;
}

export interface ScaleNotFound {
  readonly file: string;
  readonly sha256?: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly found: false;
  readonly reason: string;
}

export type ScaleAnswer = ScaleFound | ScaleNotFound;

// --- outline --------------------------------------------------------------------------------------------

export interface OutlineRegion {
  readonly outline: readonly XY[];
  readonly holes: readonly (readonly XY[])[];
  /** How well the edge is placed, one standard uncertainty in px; where the outline's maker knows it. */
  readonly edgeUPx?: number;
  /** Where round the outline the edge is uncertain; absent: nobody looked. */
  readonly uncertain?: readonly UncertainStretch[];
}

/** A part of an outline whose edge is uncertain: from one of its points on to another, past the last to the first where need be. */
export interface UncertainStretch {
  readonly fromIndex: number;
  readonly toIndex: number;
  /** One standard uncertainty of where the edge lies there, px. */
  readonly uPx: number;
}

export interface OutlineAnswer {
  readonly file: string;
  readonly regions: readonly OutlineRegion[];
  /** Why nothing could be proposed; only with no regions. */
  readonly reason?: string;
  readonly seconds?: number;
  readonly warnings?: readonly string[];
  readonly recipe?: Recipe;
}

// --- measure --------------------------------------------------------------------------------------------

/** Nobody knows better; how soft the edge is in this picture; the department's own repeated outlines. */
export type EdgeKnownFrom = "assumed" | "picture" | "repeats";

export interface RegionMeasurement {
  readonly areaMm2: Measured;
  readonly lengthMm: Measured;
  readonly widthMm: Measured;
  readonly perimeterMm: Measured;
  /** Extent along a head-to-toe line that a person gave (or along the limb), and at right angles to it. */
  readonly headToToe?: { readonly lengthMm: Measured; readonly widthMm: Measured };
  /** 4 pi area / perimeter²: 1 for a disc. */
  readonly circularity: number;
  /** How well the edge is placed (one standard uncertainty), and how that is known. */
  readonly edge: { readonly uMm: number; readonly from: EdgeKnownFrom };
  /** Axes of the ellipse with the same centroid and second moments; null without area. */
  readonly ellipse: { readonly majorMm: number; readonly minorMm: number } | null;
  /** The outline was smoothed by a bell of this standard deviation first: a perimeter depends on how close one looks. */
  readonly perimeterSmoothingMm: number;
  readonly lengthEndsPx: readonly [XY, XY];
  readonly widthEndsPx: readonly [XY, XY];
}

export interface MeasureAnswer {
  readonly file: string;
  readonly regions: readonly RegionMeasurement[];
  /** All regions together; where there are several. */
  readonly total?: { readonly areaMm2: Measured };
  readonly method: "plane" | "local-scale";
  /** Relative standard uncertainty of the (largest region's) area by source, largest first; `u` has no unit. */
  readonly budget: readonly { readonly source: string; readonly u: number }[];
  readonly warnings: readonly string[];
  readonly recipe: Recipe;
}

/** Without a scale nothing is measured: the answer says why. */
export interface NotMeasured {
  readonly file: string;
  readonly regions: readonly [];
  readonly reason: string;
}

// --- align ----------------------------------------------------------------------------------------------

export interface Aligned {
  readonly baseline: string;
  readonly followup: string;
  readonly aligned: true;
  /** Follow-up px → baseline px, upright full-size pictures, last element 1. */
  readonly homography: Matrix3;
  /** Follow-up px per baseline px at the centre of the overlap: 1.03 = the follow-up shows it 3 % larger. */
  readonly scaleChange: number;
  /** Turn of the follow-up's content against the baseline's, clockwise positive. */
  readonly rotationDeg: number;
  /** How far the baseline's middle lies from the follow-up's middle, as a share of the follow-up's width and height. */
  readonly shiftFraction: { readonly x: number; readonly y: number };
  /** Share of the baseline that the follow-up covers. */
  readonly overlap: number;
  /** Root mean square distance of the places the map rests on, baseline px. */
  readonly residualPx: number;
  /** Places (or a person's points) that the map rests on. */
  readonly matches: number;
  readonly method: "pictures" | "points";
  readonly map: "similarity" | "affine" | "homography";
  /** Share of the places compared that agree, weighted towards the middle; null for a person's points. */
  readonly agreement: number | null;
  /** How the camera was held against the baseline. Absent from alignments of earlier versions. */
  readonly framing?: Framing;
  /** The skin's answer beside the scales' own; null unless both pictures' readings were given. Absent from earlier versions. */
  readonly sameRatio?: SameRatio | null;
  /** Null unless it was asked for. Absent from alignments of earlier versions. */
  readonly bending?: Bending | null;
  readonly warnings: readonly string[];
  readonly recipe: Recipe;
}

/**
 * How the follow-up's camera was held against the baseline's. Directions are those of the baseline's picture; lengths lie
 * in the subject's plane.
 */
export interface Framing {
  /** Length of the subject as a share of the frame, against the baseline's, in the middle: 1.08 = 8 % larger. */
  readonly timesAsLarge: number;
  /** How much nearer the camera stood; null without a scale, a focal length and the sensor's size. */
  readonly nearerMm: Measured | null;
  /** Seen from behind the camera, clockwise positive. */
  readonly cameraTurnedDeg: number;
  /** How far beside the baseline's middle the camera was aimed, as a share of the baseline's width and height. */
  readonly aimedOffFraction: { readonly x: number; readonly y: number };
  readonly aimedOffMm: { readonly x: Measured; readonly y: Measured } | null;
  /** Changed side from which the surface is seen; null where it cannot be told. */
  readonly seenFromDeg: { readonly right: number; readonly below: number } | null;
  readonly focalMm: { readonly baseline: number; readonly followup: number } | null;
  /** "nearer by 4 cm", "turned 6° clockwise"; empty where the two were framed alike. */
  readonly words: readonly string[];
  /** What to do for a picture framed as the baseline, in this order. */
  readonly doNow: readonly string[];
}

/**
 * What bends beside the plane's map, where it was asked for: smooth, held to 1.2 % of the picture, nothing under what was left out.
 * For looking at only; the homography stays as it is, and nothing is measured in a bent picture.
 */
export interface Bending {
  readonly used: boolean;
  /** Why it was not used. */
  readonly why: string | null;
  /** Baseline px. */
  readonly maxPx: number;
  readonly meanPx: number;
  /** Share of places within 1 px (at 1000) that did not take part in making it, with the plane alone and bent. */
  readonly agreement?: { readonly before: number; readonly after: number };
  /** Nodes row by row from the baseline's corner: what belongs at a place lies this far from it in the plane's map. Bilinear between. */
  readonly field: {
    readonly columns: number;
    readonly rows: number;
    readonly stepPx: number;
    readonly shifts: readonly XY[];
  } | null;
}

/** Follow-up px per baseline px, by two witnesses that know nothing of each other. */
export interface SameRatio {
  readonly bySkin: Measured;
  readonly byScales: Measured;
  /** Within what both uncertainties together allow, 95 %. */
  readonly agree: boolean;
}

export interface NotAligned {
  readonly baseline: string;
  readonly followup: string;
  readonly aligned: false;
  readonly reason: string;
  /** One of the two is turned over, as in a mirror. */
  readonly mirrored?: true;
}

export type AlignAnswer = Aligned | NotAligned;

// --- label ----------------------------------------------------------------------------------------------

/** One element string of a GS1 symbol. */
export interface Gs1Element {
  /** Application identifier, such as `8018`. */
  readonly ai: string;
  readonly name: string;
  readonly value: string;
  /** Null: this kind of value has none. */
  readonly checkDigit: "right" | "wrong" | null;
}

export interface LabelAnswer {
  readonly file: string;
  readonly codes: readonly {
    readonly format: string;
    readonly text: string;
    /** ISO/IEC 15424 symbology identifier: `]C1` and `]d2` tell of GS1 content. */
    readonly aim: string;
    /** What a symbol with GS1 content says, element by element; null: the symbol is none. */
    readonly gs1: readonly Gs1Element[] | null;
    /** The symbol's own top left, top right, bottom right, bottom left. */
    readonly corners: readonly [XY, XY, XY, XY];
  }[];
  readonly warnings: readonly string[];
}
