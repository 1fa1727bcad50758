import type { ClutterFacts, ScaleFacts } from "../../packages/simulator/src/index.ts";

/** A value that was reported, with the truth. */
export interface Against {
  readonly value: number;
  readonly u95: number;
  /** What a perfect scale would have shown; null where no scale lies. */
  readonly truth: number | null;
  /** What is true, as the scale was made: the interval has to hold this. */
  readonly asMade: number | null;
}

/** What was made of one picture: a line of the JSONL file. */
export interface Row<Facts = ScaleFacts | ClutterFacts> {
  readonly seed: number;
  readonly facts: Facts;
  readonly answer: "found" | "warned" | "not found";
  /** The warnings, or the reason why nothing was found. */
  readonly says: readonly string[];
  /** The first is the most trusted. */
  readonly scales: readonly (Against & {
    readonly unit: string;
    readonly kind: string;
    /** False for bent scales, whose truth is not known well enough to judge an interval by. */
    readonly exact: boolean;
  })[];
  /** Pixels per millimetre square to the line of sight: the reproduction ratio in other words. */
  readonly facing: Against | null;
  readonly leanDeg: Against | null;
  readonly readMs: number;
}

export const isScaleRow = (row: Row): row is Row<ScaleFacts> => "material" in row.facts;

/** More than this off without a warning is a silent error. */
const SILENT_ERROR = 0.02;

export const relativeError = ({ value, truth }: Against): number =>
  truth === null ? Number.POSITIVE_INFINITY : Math.abs(value / truth - 1);

export const isSilentError = (row: Row): boolean =>
  row.answer === "found" && row.scales.some((scale) => relativeError(scale) > SILENT_ERROR);

export const covers = ({ value, u95, asMade }: Against): boolean =>
  asMade !== null && Math.abs(value - asMade) <= u95;
