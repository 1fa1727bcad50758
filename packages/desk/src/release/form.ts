import type {
  InfoAnswer,
  MeasureAnswer,
  OutlineRegion,
  Recipe,
  ScaleFound,
  ScaleNotFound,
} from "@samescale/picture";
import type { ConsentAnswer, ConsentScope, View } from "@samescale/practice";
import type { Library } from "@samescale/record";
import type { Actor } from "../act/actor.ts";
import type { ScopeRules } from "./scope-rules.ts";

/** One file of a release. */
export interface OutgoingFile {
  /** Within the release's folder, `/` between folders; each part letters, digits, `.`, `_` and `-`. */
  readonly name: string;
  readonly bytes: Uint8Array | AsyncIterable<Uint8Array>;
  /** The frame that it shows; null: a document of the whole release. */
  readonly frameId: string | null;
  /** SHA-256 of the original that it shows. */
  readonly original: string | null;
}

/**
 * What a release is made of, once somebody may have it. A form sees what its context holds and nothing else; it neither
 * asks for consent nor writes a file.
 */
export interface ReleaseForm {
  readonly name: string;
  /** The scopes that it can serve. A form that shows pictures of its own making serves no scope that de-identifies. */
  readonly scopes: readonly ConsentScope[];
  /** One file after the other, so that a large release never lies in memory as a whole. */
  files(context: FormContext): AsyncIterable<OutgoingFile>;
}

/** All that may be shown in this release. */
export interface FormContext {
  readonly releaseId: string;
  /** Begins the names of files: letters and digits that say nothing. */
  readonly mark: string;
  readonly scope: ConsentScope;
  readonly rules: ScopeRules;
  readonly to: string;
  readonly purpose: string;
  readonly publication: string | null;
  /** Last day on which the recipient may use it, YYYY-MM-DD. */
  readonly expiresOn: string | null;
  /** Null in a non-clinical request, and wherever the release is de-identified. */
  readonly patient: OutgoingPatient | null;
  /** The patient's own code in this research project; null for every other scope. */
  readonly pseudonym: string | null;
  readonly request: OutgoingRequest;
  /** In the order in which they were asked for. */
  readonly frames: readonly OutgoingFrame[];
  /** What it rests on. To be named in a file only where `rules.identity` is "kept". */
  readonly consents: readonly ConsentAnswer[];
  /** Log, proofs and the untouched originals: for evidence only, else null. */
  readonly evidence: Pick<Library, "folder" | "read" | "originals" | "derived" | "signHead"> | null;
  /** ISO 8601 in UTC. */
  readonly now: string;
  readonly actor: Actor;
}

export interface OutgoingPatient {
  readonly id: string;
  readonly number: string;
  readonly authority: string;
  readonly name: string;
  /** The parts of the name, where an order or a person told them apart. */
  readonly family?: string;
  readonly given?: string;
  readonly birthDate: string | null;
}

export interface OutgoingRequest {
  /** Null where the release is de-identified, like everything else here that could lead back. */
  readonly id: string | null;
  readonly code: string | null;
  readonly title: string | null;
  readonly kind: "clinical" | "non-clinical";
  readonly parts: readonly { readonly part: string; readonly side: string }[];
}

export interface OutgoingFrame {
  /** From 1, as in `name`. */
  readonly number: number;
  /** Name for its files, without ending: the release's mark and a counter. */
  readonly name: string;
  /** For `OutgoingFile` only where the release is de-identified: it must not stand in a file. */
  readonly frameId: string;
  /** SHA-256 of the original that the picture shows; the same holds. */
  readonly original: string;
  /** Its name on the card, where names are kept. */
  readonly originalName: string | null;
  /** Local time YYYY-MM-DDTHH:MM:SS, put right; null where unknown or taken out. */
  readonly takenAt: string | null;
  /** YYYY-MM-DD; shifted by the patient's own number of days where `rules.times` is "shifted"; null where taken out. */
  readonly day: string | null;
  /** The planned view that it was judged against. */
  readonly view: OutgoingView | null;
  /** What the file says of camera and exposure, as far as the scope lets it leave. */
  readonly camera: OutgoingCamera | null;
  /** Calibration, regions and sizes in pixels of the upright original: times `picture.pxPerOriginalPx` in the picture. */
  readonly reading: OutgoingDerivative<OutgoingReading> | null;
  readonly outline: OutgoingDerivative<{ readonly regions: readonly OutlineRegion[] }> | null;
  readonly measurement: OutgoingDerivative<Omit<MeasureAnswer, "file">> | null;
  /** Made when it is asked for; made once. */
  picture(): Promise<OutgoingPicture>;
  /**
   * The original's own JPEG coding with every metadata segment taken out; null where there is none: no JPEG, stored
   * turned, or a scope in which pictures are made anew.
   */
  jpegAsCoded(): Promise<OutgoingPicture | null>;
  /** The files of the frame, untouched: for evidence only, else none. */
  readonly originals: readonly OutgoingOriginal[];
}

/** Where the file lay while it was read says nothing. */
export type OutgoingReading = Omit<ScaleFound, "file"> | Omit<ScaleNotFound, "file">;

/** What the plan says that a frame shows; the formats name part and side. */
export interface OutgoingView
  extends Pick<View, "key" | "name" | "part" | "side" | "aspect" | "mirrored" | "identifiable"> {}

/** A picture as it may leave: upright sRGB JPEG with its profile, nothing in it but what the scope allows. */
export interface OutgoingPicture {
  readonly jpeg: Uint8Array;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Pixels here per pixel of the upright original; 1 unless the scope limits the size. */
  readonly pxPerOriginalPx: number;
  /** Share of the picture that masks cover, 0 to 1. */
  readonly masked: number;
}

export type OutgoingCamera = Pick<
  InfoAnswer,
  "make" | "model" | "lens" | "focalMm" | "fNumber" | "exposureS" | "iso" | "sensorWidthMm"
>;

/** The newest of its kind that was made from this original. De-identified: without hashes and without names of persons. */
export interface OutgoingDerivative<Body> {
  readonly sha256: string | null;
  readonly recipe: Recipe;
  readonly body: Body;
}

export interface OutgoingOriginal {
  readonly sha256: string;
  /** Its name on the card. */
  readonly name: string;
  readonly bytes: number;
  readonly format: string;
  open(): AsyncIterable<Uint8Array>;
}
