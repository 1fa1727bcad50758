import type {
  AlignAnswer,
  InfoAnswer,
  LabelAnswer,
  Matrix3,
  MeasureAnswer,
  NotMeasured,
  OutlineAnswer,
  OutlineRegion,
  ScaleAnswer,
  XY,
} from "../answers.ts";
import type { ArrivalAnswer } from "../arrival/arrival-of-file.ts";
import type { ChartValues } from "../colour/chart-values.ts";
import type { ChartEdition, ColourAnswer, GreyCardAnswer, MatchAnswer } from "../colour-answers.ts";
import type { DecodedPicture } from "../decode/decode.ts";
import type { JpegAsCoded } from "../deidentify/jpeg-as-coded.ts";
import type { MetadataGroup, MetadataInput } from "../deidentify/metadata-of-picture.ts";
import type { OutgoingPictureAnswer, OutgoingPictureInput } from "../deidentify/outgoing-picture.ts";
import type { MaskProposals, ProposeMasksInput } from "../deidentify/propose-masks.ts";
import type { BedsideAnswer, LookAnswer } from "../look-answer.ts";
import type { OutlineStep } from "../outline/steps/step.ts";
import type { OwnRepeats } from "../planimetry/edge.ts";
import type { PartSaid } from "../planimetry/measure-regions.ts";
import type { DifferenceInput } from "../render/comparison/difference-window.ts";
import type { GhostAnswer, GhostInput } from "../render/ghost/ghost.ts";
import type { TilesAnswer, TilesInput } from "../render/tiles.ts";
import type { WindowAnswer, WindowInput } from "../render/window.ts";
import type { KnownScale } from "../scale/own-length/known-scale.ts";
import type { ScaleKind } from "../scale/person/kinds.ts";
import type { TwoPoints } from "../scale/person/two-points.ts";
import type { ScaleMaterial } from "../scale/tolerance.ts";

export type {
  ArrivalAnswer,
  GhostAnswer,
  GhostInput,
  MaskProposals,
  MetadataGroup,
  OutgoingPictureAnswer,
  OutlineStep,
  PartSaid,
  WindowAnswer,
  WindowInput,
};

/** Every heavy step on one photograph: what it takes and what it answers. Inputs and answers are plain data. */
export interface Tasks {
  info: { input: InfoInput; answer: InfoAnswer };
  arrival: { input: InfoInput; answer: ArrivalAnswer };
  scale: { input: ScaleInput; answer: ScaleAnswer };
  look: { input: LookInput; answer: LookAnswer };
  /** Reads the scale and looks at the frame from one decoding of the file. */
  bedside: { input: ScaleInput; answer: BedsideAnswer };
  outline: { input: OutlineInput; answer: OutlineAnswer };
  /** The pixels that outlines are found in, for whoever finds them elsewhere. */
  "outline-pixels": { input: { readonly file: string }; answer: DecodedPicture };
  measure: { input: MeasureInput; answer: MeasureAnswer | NotMeasured };
  align: { input: AlignInput; answer: AlignAnswer };
  colour: { input: ColourInput; answer: ColourAnswer };
  "grey-card": { input: GreyCardInput; answer: GreyCardAnswer };
  "match-colour": { input: MatchColourInput; answer: MatchAnswer };
  label: { input: LabelInput; answer: LabelAnswer };
  window: { input: WindowInput; answer: WindowAnswer };
  "comparison-pictures": { input: ComparisonInput; answer: readonly string[] };
  /** PNG. */
  difference: { input: DifferenceInput; answer: Uint8Array };
  ghost: { input: GhostInput; answer: GhostAnswer };
  tiles: { input: TilesInput; answer: TilesAnswer };
  thumbnail: { input: { readonly file: string; readonly maxSidePx: number }; answer: Uint8Array };
  "outgoing-picture": { input: OutgoingPictureInput; answer: OutgoingPictureAnswer };
  "jpeg-as-coded": { input: { readonly file: string; readonly sha256: string }; answer: JpegAsCoded | null };
  "propose-masks": { input: ProposeMasksInput; answer: MaskProposals };
  metadata: { input: MetadataInput; answer: readonly MetadataGroup[] };
}

export type TaskName = keyof Tasks;

export interface InfoInput {
  readonly file: string;
}

export interface ScaleInput {
  readonly file: string;
  /** Look close to this point of the upright picture. */
  readonly near?: XY;
  /** A person's two points on the scale and the length between them, known within the tolerance (95 %) where one is said. */
  readonly twoPoints?: TwoPoints;
  /** What a person says of the scale. */
  readonly kind?: ScaleKind;
  readonly material?: ScaleMaterial;
  /** The department's measured scales; a scale's code, or `scaleId`, says which one lies in the picture. */
  readonly calibrations?: readonly KnownScale[];
  readonly scaleId?: string;
  /** How far the scale lay above the subject's surface (below: negative), as a person says. */
  readonly scaleHeightMm?: number;
  /** Overrides what the file says. */
  readonly sensorWidthMm?: number;
  /** That of the department's camera, long side first: for files that do not say it well. */
  readonly usualSensorMm?: { readonly widthMm: number; readonly heightMm: number };
}

export interface LookInput {
  readonly file: string;
  /** A reading of this file: where the scale lies, which way it runs, and a white of known colour. */
  readonly scale?: ScaleAnswer;
}

export interface OutlineInput {
  readonly file: string;
  readonly inside: readonly XY[];
  readonly outside: readonly XY[];
  readonly box?: readonly [x0: number, y0: number, x1: number, y1: number];
  /** Taken after the clicks, in this order. */
  readonly steps?: readonly OutlineStep[];
}

export interface MeasureInput {
  readonly file: string;
  /** Regions already drawn, or the path of a mask PNG. */
  readonly outline: readonly OutlineRegion[] | { readonly maskFile: string };
  /** A reading already made; null: read the scale now. */
  readonly scale: ScaleAnswer | null;
  /** What a person says of the scale, where it is read now. */
  readonly scaleSaid?: Omit<ScaleInput, "file">;
  /** What a person says of the part that is measured. */
  readonly said?: PartSaid;
  /** What the department's own repeated outlines say of its edges. */
  readonly ownRepeats?: OwnRepeats;
}

export interface AlignInput {
  readonly baseline: string;
  readonly followup: string;
  /** Matched points that a person placed: baseline x, y, follow-up x, y. */
  readonly points?: readonly (readonly [bx: number, by: number, fx: number, fy: number])[];
  /** Regions that must not count, such as the wound, a scale, a label; upright full-size pixels of each picture. */
  readonly ignoreBaseline?: readonly OutlineRegion[];
  readonly ignoreFollowup?: readonly OutlineRegion[];
  /** Look for what bends beside the plane's map: for looking at only, and nowhere where `ignoreBaseline` is. */
  readonly bend?: boolean;
  /**
   * Readings of the pictures' scales: these are left out as well, and two answer "same ratio?" beside the skin. One is
   * enough to keep the scale itself from being what matches.
   */
  readonly scales?: { readonly baseline: ScaleAnswer; readonly followup: ScaleAnswer | null };
  /** At the bedside: on small copies, a third of the time, places to about a pixel in 700. */
  readonly quick?: boolean;
  /** Overrides what the files say. */
  readonly sensorWidthMm?: number;
}

export interface ComparisonInput {
  readonly baseline: string;
  /** In the order of the visits. */
  readonly followups: readonly AlignAnswer[];
  /** Made anew; what exists is left alone. */
  readonly folder: string;
  /** For the bar on the pictures, and for the size of a follow-up that could not be aligned. */
  readonly baselineScale?: ScaleAnswer;
  readonly followupScales?: readonly ScaleAnswer[];
}

export interface ColourInput {
  readonly file: string;
  /** Write the corrected picture here; never over an existing file. */
  readonly correctedFile?: string;
  /** Which published values the chart has; assumed, and said, when left out. */
  readonly chartEdition?: ChartEdition;
  /** The department's own values of its chart, in place of the published ones. */
  readonly chartValues?: ChartValues;
}

export interface GreyCardInput {
  readonly file: string;
  /** A point on the card, or a box within it (left, top, right, bottom), upright full-size pixels. */
  readonly at: XY | readonly [x0: number, y0: number, x1: number, y1: number];
  /** 0 to 1; null: make it neutral and leave the exposure; left out: the usual 0.18, and said. */
  readonly reflectance?: number | null;
  readonly correctedFile?: string;
}

export interface MatchColourInput {
  /** The follow-up, which is brought to the baseline's colours. */
  readonly file: string;
  readonly baseline: string;
  /** Follow-up px → baseline px, of an alignment already made; left out: the pictures are aligned now. */
  readonly homography?: Matrix3;
  /** Matched points that a person placed: baseline x, y, follow-up x, y. */
  readonly points?: NonNullable<AlignInput["points"]>;
  /** Regions that must not count: the wound, a scale, a label; upright full-size pixels of each picture. */
  readonly ignoreBaseline?: readonly OutlineRegion[];
  readonly ignoreFollowup?: readonly OutlineRegion[];
  readonly correctedFile?: string;
}

export interface LabelInput {
  readonly file: string;
  /** One look at 2000 px: enough for a label frame, in a third of the time. */
  readonly quick?: boolean;
}
