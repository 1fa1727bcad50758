/** What is to be known of a picture before anybody looks for a chart in it. */
export interface Facts {
  readonly group: "chart" | "part of a chart" | "two charts" | "no chart";
  /** Length of the chart from the middle of the first column to that of the last, px; 0 without one. */
  readonly lengthPx: number;
  readonly turnDeg: number;
  readonly leanDeg: number;
  readonly mirrored: boolean;
  readonly light: string;
  /** What the file's tones had done to them besides: nothing, another contrast, a wrong white balance. */
  readonly conditions: readonly string[];
  /** The white patch as it stands in the picture, its brightest channel 0 to 255. */
  readonly whiteLevel: number;
  /** Lit by one kind of light, without shade or glare, white neither burnt out nor under half of the range. */
  readonly properlyExposed: boolean;
}

/** What was made of one picture: a line of the JSONL file. */
export interface Row {
  readonly seed: number;
  readonly facts: Facts;
  readonly answer: "right" | "wrong place" | "not found" | "refused" | "none";
  readonly mirroredRight: boolean | null;
  /** Worst corner, in distances between patches. */
  readonly worstCorner: number | null;
  readonly deltaE00: {
    readonly before: number;
    readonly after: number;
    readonly crossValidated: number;
  } | null;
  readonly kind: string | null;
  /** What was judged of the light. */
  readonly light: {
    readonly exposureStops: number | null;
    readonly falloff: number;
    readonly colourChange: number;
  } | null;
  readonly says: readonly string[];
  readonly seconds: number;
}
