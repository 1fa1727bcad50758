import type { Recipe, XY } from "./answers.ts";

/** The two editions of the chart's published values: charts made before, or since, November 2014. */
export type ChartEdition = "before-2014" | "after-2014";

export interface DeltaE {
  readonly mean: number;
  readonly max: number;
}

/** In words that let anyone apply it: tone, then linear light, then terms, then matrix, then coded again. */
export interface DescribedCorrection {
  readonly space: string;
  readonly kind: "white-balance" | "linear" | "root-polynomial";
  /** Applied to each gamma-coded channel first: v^exponent, then w + s w (1 - w)(1 - 2w). */
  readonly tone: { readonly exponent: number; readonly s: number };
  readonly terms: readonly string[];
  readonly matrix: readonly (readonly number[])[];
}

/** What was judged, in words with the figure; `doubtful` ones stand among the warnings as well. */
export interface ColourJudgement {
  readonly what: "exposure" | "clipping" | "uneven light" | "mixed light";
  readonly say: string;
  readonly doubtful: boolean;
}

/** Shares of the picture's pixels of which a channel stands at its end. */
export interface Clipping {
  readonly burntOut: number;
  readonly black: number;
}

/** A corrected picture that was written: enough to keep it as a derivative, and to make it again. */
export interface CorrectedPicture {
  readonly file: string;
  readonly sha256: string;
  /** SHA-256 of what it was made from. */
  readonly inputs: readonly string[];
  readonly recipe: Recipe;
}

// --- by the chart -----------------------------------------------------------------------------------------

export interface ChartFound {
  readonly file: string;
  readonly found: true;
  readonly by: "chart";
  readonly corners: readonly [XY, XY, XY, XY];
  readonly mirrored: boolean;
  /** Which values the chart was compared with. */
  readonly edition: ChartEdition | "own-values";
  readonly deltaE00: { readonly before: DeltaE; readonly after: DeltaE; readonly crossValidated: DeltaE };
  readonly correction: DescribedCorrection;
  /** How much brighter (+) or darker than the chart's greys should be; null when none kept its detail. */
  readonly exposureStops: number | null;
  /** Brightest over darkest corner of the chart, minus 1. */
  readonly lightFalloff: number;
  /** ΔE00 between the same mid grey in two opposite corners of the chart, brightness made equal. */
  readonly lightColourChange: number;
  readonly clipping: Clipping;
  readonly judgements: readonly ColourJudgement[];
  readonly patches: readonly {
    readonly name: string;
    readonly at: XY;
    /** After correction; null outside the picture. */
    readonly deltaE00: number | null;
    /** Why it was not used. */
    readonly leftOut: string | null;
  }[];
  /** Where the corrected picture was written. */
  readonly correctedFile?: string;
  readonly corrected?: CorrectedPicture;
  readonly warnings: readonly string[];
  readonly recipe: Recipe;
}

export interface ChartNotFound {
  readonly file: string;
  readonly found: false;
  readonly reason: string;
}

export type ColourAnswer = ChartFound | ChartNotFound;

// --- by a grey card that a person points at ---------------------------------------------------------------

export interface GreyCardUsed {
  readonly file: string;
  readonly found: true;
  readonly by: "grey-card";
  /** What was measured: left, top, right, bottom. */
  readonly box: readonly [x0: number, y0: number, x1: number, y1: number];
  /** As given or assumed; null when only neutrality was asked for. */
  readonly reflectance: number | null;
  readonly exposureStops: number | null;
  /** How far from neutral the card stands in the picture, ΔE00. */
  readonly castDeltaE00: number;
  /** Brightest over darkest side of the card, minus 1. */
  readonly lightFalloff: number;
  readonly correction: DescribedCorrection;
  readonly clipping: Clipping;
  readonly corrected?: CorrectedPicture;
  readonly warnings: readonly string[];
  readonly recipe: Recipe;
}

export type GreyCardAnswer = GreyCardUsed | ChartNotFound;

// --- by the baseline, on skin that has not changed --------------------------------------------------------

export interface ColourMatched {
  readonly file: string;
  readonly found: true;
  readonly by: "baseline";
  readonly baseline: string;
  /** Always: comparable with the baseline, not correct. */
  readonly relative: true;
  readonly correction: DescribedCorrection;
  /** Between the same places of skin in both pictures, over those the match rests on. */
  readonly deltaE00: { readonly before: DeltaE; readonly after: DeltaE; readonly crossValidated: DeltaE };
  readonly exposureStops: number;
  /** Places of skin that were compared, and those among them that did not follow the rest. */
  readonly places: number;
  readonly changedShare: number;
  /** Share of the baseline that the compared skin covers. */
  readonly skinShare: number;
  /** What the baseline's own colours rest on. */
  readonly chain: readonly string[];
  readonly clipping: Clipping;
  readonly corrected?: CorrectedPicture;
  readonly warnings: readonly string[];
  readonly recipe: Recipe;
}

export interface ColourNotMatched {
  readonly file: string;
  readonly found: false;
  readonly baseline: string;
  readonly reason: string;
}

export type MatchAnswer = ColourMatched | ColourNotMatched;
