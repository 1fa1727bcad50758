import { secondsBetween } from "./camera-clock.ts";
import { parseLabelCode } from "./label-code.ts";
import { byClock, byFileNumber, type Orderable } from "./order-frames.ts";

/** A frame of the card, as matching sees it. */
export interface Matchable extends Orderable {
  readonly id: string;
  /** Camera as the files name it; frames of two cameras on one card are two streams. Null: the file does not say. */
  readonly camera: string | null;
  /** Code texts seen in the picture; null: it could not be looked at. */
  readonly codes: readonly string[] | null;
}

/** What the library knows of the codes on this card. */
export interface Known {
  requestByCode(code: string): KnownRequest | null;
  isPatientNumber(text: string): boolean;
}

export interface KnownRequest {
  readonly id: string;
  readonly code: string;
  /** Null: a non-clinical request. */
  readonly patientNumber: string | null;
}

export interface Placing {
  readonly requestId: string | null;
  readonly isLabel: boolean;
  /** How it was placed, or why not: a sentence for a person. */
  readonly because: string;
}

export interface MatchOptions {
  /**
   * A longer pause without a new label frame ends a session. A session usually lasts 10 to 20 minutes (a hospital
   * department's page for patients, trade-facts addendum); an hour without a frame is another one.
   */
  readonly longestPauseS: number;
}

export const MATCH_DEFAULTS: MatchOptions = { longestPauseS: 3600 };

/**
 * Whose is each frame: that of the label frame before it, on the same camera, in the same run of folders, as long
 * as nothing speaks against it. Everything else stays unplaced, with the reason; nothing is guessed.
 *
 * The order is taken once from the file numbers and once from the camera's clock. Only what both agree on is
 * placed: a clock that jumped, or numbers that started again, cannot move a frame to another patient.
 */
export function matchFrames(
  frames: readonly Matchable[],
  known: Known,
  options: MatchOptions = MATCH_DEFAULTS,
): Map<string, Placing> {
  const placings = new Map<string, Placing>();
  for (const stream of streams(frames)) {
    const byNumber = placeInOrder(byFileNumber(stream), known, options);
    const byTime = placeInOrder(byClock(stream), known, options);
    for (const [id, placing] of byNumber) {
      placings.set(id, agreed(placing, byTime.get(id) as Placing));
    }
  }
  return placings;
}

/**
 * The frames of each camera. A frame that does not say which camera took it belongs to the only one there is; with
 * several it stands in every stream as one that cannot be looked at, as it may have been anybody's label frame.
 */
function streams(frames: readonly Matchable[]): Matchable[][] {
  const cameras = [...new Set(frames.map((frame) => frame.camera))].filter((camera) => camera !== null);
  if (cameras.length < 2) return [[...frames]];
  return cameras.map((camera) =>
    frames
      .filter((frame) => frame.camera === camera || frame.camera === null)
      .map((frame) => (frame.camera === null ? { ...frame, codes: null } : frame)),
  );
}

function agreed(byNumber: Placing, byTime: Placing): Placing {
  if (byNumber.requestId === byTime.requestId) return byNumber;
  const because =
    "The file numbers and the camera's clock put it in different places on the card: " +
    `by number ${lower(byNumber.because)}; by clock ${lower(byTime.because)}`;
  return { requestId: null, isLabel: byNumber.isLabel, because };
}

/** Whose frames come now: a request's, or nobody's for a reason. */
type Section = { readonly request: KnownRequest; readonly label: string } | { readonly none: string };

function placeInOrder(
  frames: readonly Matchable[],
  known: Known,
  options: MatchOptions,
): Map<string, Placing> {
  const placings = new Map<string, Placing>();
  let section: Section = { none: "No label frame before it" };
  let before: Matchable | null = null;
  for (const frame of frames) {
    const broken = before && breakBetween(before, frame, options);
    if (broken) section = { none: broken };
    const read = readFrame(frame, known, section);
    section = read.next;
    placings.set(frame.id, read.placing);
    before = frame;
  }
  return placings;
}

/** Why a session cannot go on from one frame to the next; null when it can. */
function breakBetween(before: Matchable, frame: Matchable, options: MatchOptions): string | null {
  const pauseS = secondsBetween(before.taken, frame.taken);
  if (before.folder !== frame.folder) {
    if (!isNextFolder(before.folder, frame.folder)) return "No label frame before it in its folder";
    if (pauseS === null || pauseS < 0)
      return "No label frame before it in its folder, and no clock to go on from the last";
  }
  if (pauseS === null || pauseS <= options.longestPauseS) return null;
  return `No label frame after a pause of ${Math.round(pauseS / 60)} min before ${frame.name}`;
}

/** A camera goes on from folder 100ABCDE to 101ABCDE when one is full (DCF: three digits, five characters). */
function isNextFolder(before: string, after: string): boolean {
  const [a, b] = [DCF_FOLDER.exec(before), DCF_FOLDER.exec(after)];
  return a !== null && b !== null && a[1] === b[1] && a[3] === b[3] && Number(b[2]) === Number(a[2]) + 1;
}

const DCF_FOLDER = /^(.*?)(\d{3})([A-Za-z0-9_]{5})$/;

/** What the frame itself says, and whose frames come behind it. */
function readFrame(frame: Matchable, known: Known, section: Section): { placing: Placing; next: Section } {
  if (frame.codes === null) {
    const next = { none: `${frame.name} before it could not be looked at and may have been a label frame` };
    return {
      placing: unplaced("It could not be looked at for codes: a person must say what it shows"),
      next,
    };
  }
  const labels = frame.codes.map(parseLabelCode).filter((label) => label !== null);
  if (labels.length > 0) {
    const label = readLabel(frame.codes, known);
    if (typeof label === "string") {
      const next = { none: `The label frame ${frame.name} before it: ${lower(label)}` };
      return { placing: { ...unplaced(label), isLabel: true }, next };
    }
    const next = { request: label.request, label: frame.name };
    return { placing: { requestId: label.request.id, isLabel: true, because: label.because }, next };
  }
  return readPicture(frame, frame.codes, known, section);
}

/**
 * A label frame's request; or why it names none. Two identifiers must agree: the request's code and the patient's
 * number, in the label code or beside it on a wristband. A request without a patient has its code only.
 */
function readLabel(
  codes: readonly string[],
  known: Known,
): { readonly request: KnownRequest; readonly because: string } | string {
  const texts = [...new Set(codes.filter((code) => parseLabelCode(code) !== null))];
  const labels = texts.map(parseLabelCode);
  if (labels.includes("broken")) return "A label code that cannot be read";
  const [label, ...others] = labels.filter((label) => label !== null && label !== "broken");
  if (!label) return "A label code that cannot be read";
  if (others.some((other) => other.requestCode !== label.requestCode))
    return "Two different labels in one frame";
  const request = known.requestByCode(label.requestCode);
  if (!request) return `No request ${label.requestCode} is known here`;
  const numbers = [label, ...others].flatMap((each) => each.patientNumber ?? []);
  for (const number of numbers) {
    if (number !== request.patientNumber)
      return `It names request ${request.code} and a number that is not that patient's`;
  }
  for (const code of codes) {
    if (parseLabelCode(code) === null && isOtherPatient(code, request, known)) {
      return `It names request ${request.code}, and another code in the frame is the number of another patient`;
    }
  }
  if (request.patientNumber === null) {
    return {
      request,
      because: `Label frame: request ${request.code}, which has no patient; its code says it`,
    };
  }
  if (numbers.length === 0 && !codes.includes(request.patientNumber)) {
    return `It names request ${request.code} only: the patient's number must agree with it`;
  }
  return { request, because: `Label frame: request ${request.code} and the patient's number agree` };
}

function readPicture(
  frame: Matchable,
  codes: readonly string[],
  known: Known,
  section: Section,
): { placing: Placing; next: Section } {
  const request = "request" in section ? section.request : null;
  const stranger = codes.find((code) =>
    request ? isOtherPatient(code, request, known) : known.isPatientNumber(code),
  );
  if (stranger !== undefined) {
    const reason = request
      ? `It shows a number that is not that of the patient of request ${request.code}`
      : "It shows a patient's number without a request: choose the request by hand";
    return { placing: unplaced(reason), next: { none: `${frame.name} before it: ${lower(reason)}` } };
  }
  if (!("request" in section)) return { placing: unplaced(section.none), next: section };
  const because = `After the label frame ${section.label} of request ${section.request.code}`;
  return { placing: { requestId: section.request.id, isLabel: false, because }, next: section };
}

/**
 * A number of a known patient who is not this one; or one of the same form as this patient's number: a wristband
 * of somebody whom the library does not know. Other codes, of dressings or scales, say nothing.
 */
function isOtherPatient(code: string, request: KnownRequest, known: Known): boolean {
  if (code === request.patientNumber) return false;
  return (
    known.isPatientNumber(code) ||
    (request.patientNumber !== null && form(code) === form(request.patientNumber))
  );
}

/** `HN12345` has the form `AA99999`. */
const form = (number: string): string => number.replace(/\p{L}/gu, "A").replace(/\d/g, "9");

const unplaced = (because: string): Placing => ({ requestId: null, isLabel: false, because });

const lower = (sentence: string): string => sentence.charAt(0).toLowerCase() + sentence.slice(1);
