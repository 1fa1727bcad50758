import { formatRatio, moveBackMm } from "@samescale/optics";
import type { Tolerances } from "../department/tolerances.ts";
import { listed, sayDistance, sayFactor } from "../words.ts";
import type { FrameDone } from "./frame-done.ts";
import { isSameSensor, type Reached } from "./reached.ts";

/** One thing that was done otherwise than it was planned. */
export interface Strayed {
  readonly what: "ratio" | "lens" | "sensor" | "f-number" | "orientation" | "scale" | "chart" | "flash";
  readonly planned: number | string;
  readonly done: number | string;
  /** In words, with what is known of the reasons. */
  readonly says: string;
}

/** Focal lengths, f-numbers as cameras write them are rounded: this near they are the same. */
const SAME_FOCAL = 0.02;
const SAME_F_NUMBER = 0.06;

export const isSameFocal = (aMm: number, bMm: number): boolean => Math.abs(aMm / bMm - 1) <= SAME_FOCAL;

/** Where what was done differs from the plan by more than the reading's own uncertainty. */
export function strayedFrom(done: FrameDone, reached: Reached): readonly Strayed[] {
  const { planned, plannedBody, picture, file } = done;
  const { view } = planned;
  const strayed: Strayed[] = [];
  if (reached.sensorLongMm.by === "file" && !isSameSensor(reached.sensorLongMm.value, plannedBody.longMm)) {
    const sensor = `a sensor ${reached.sensorLongMm.value} mm wide`;
    strayed.push({
      what: "sensor",
      planned: plannedBody.longMm,
      done: reached.sensorLongMm.value,
      says: `Made with ${sensor}, planned for ${plannedBody.longMm} mm.`,
    });
  }
  if (reached.focalMm.by === "file" && !isSameFocal(reached.focalMm.value, planned.focalMm)) {
    strayed.push({
      what: "lens",
      planned: planned.focalMm,
      done: reached.focalMm.value,
      says: `Made with ${reached.focalMm.value} mm, planned with the ${planned.lens.name}.`,
    });
  }
  const ratio = ratioStrayed(done, reached, strayed);
  if (ratio !== null) strayed.unshift(ratio);
  if (Math.abs(reached.fNumber.value / planned.fNumber - 1) > SAME_F_NUMBER) {
    strayed.push({
      what: "f-number",
      planned: planned.fNumber,
      done: reached.fNumber.value,
      says: `f/${reached.fNumber.value} was used, f/${planned.fNumber} was planned.`,
    });
  }
  if (reached.orientation.value !== view.orientation) {
    strayed.push({
      what: "orientation",
      planned: view.orientation,
      done: reached.orientation.value,
      says: `Held ${reached.orientation.value}, planned ${view.orientation}.`,
    });
  }
  const kind = picture.scale?.kind ?? null;
  if (kind !== null && kind !== "unknown" && kind !== view.scale) {
    const planned = view.scale === "none" ? "none" : `a ${view.scale} one`;
    const says = `A scale of the kind ${kind} lay in it, ${planned} was planned.`;
    strayed.push({ what: "scale", planned: view.scale, done: kind, says });
  }
  if (view.chart === "in-frame" && picture.chartFound === false) {
    strayed.push({
      what: "chart",
      planned: "in the frame",
      done: "not found",
      says: "No colour chart was found in it, one was planned.",
    });
  }
  if (planned.flash !== null && file.flashFired === false) {
    strayed.push({
      what: "flash",
      planned: "flash",
      done: "no flash",
      says: `The flash did not fire, ${planned.light.name} was planned: the light was another one, and nobody wrote down which.`,
    });
  }
  return strayed;
}

/** By the fields, so that another sensor is no difference of its own. */
function ratioStrayed(done: FrameDone, reached: Reached, others: readonly Strayed[]): Strayed | null {
  const { planned } = done;
  const { fieldLongMm, magnification, relative95 } = reached;
  if (relative95 === null) return null;
  const plannedLongMm = Math.max(planned.fieldMm.width, planned.fieldMm.height);
  const larger = plannedLongMm / fieldLongMm.value;
  if (Math.abs(larger - 1) <= relative95) return null;
  const says =
    `${sayReached(magnification.value, relative95)} was reached, ${formatRatio(planned.magnification)} was planned: ` +
    `the subject is ${sayFactor(larger)} ${larger > 1 ? "larger" : "smaller"}. ${why(done, reached, larger, others)}`;
  return { what: "ratio", planned: planned.magnification, done: magnification.value, says };
}

/** What is known of the reasons, or where the camera must have stood. */
function why(
  { planned, plannedBody, picture }: FrameDone,
  { magnification }: Reached,
  larger: number,
  others: readonly Strayed[],
): string {
  const reasons: string[] = [];
  if (others.some(({ what }) => what === "sensor")) reasons.push("the other sensor");
  if (others.some(({ what }) => what === "lens")) reasons.push("the other lens");
  if (picture.scaleHeightMm !== null) {
    reasons.push(
      `a scale ${sayDistance(picture.scaleHeightMm)} ${picture.scaleHeightMm > 0 ? "above" : "below"} the subject, for which the reading is corrected`,
    );
  }
  if (reasons.length > 0) return `Known reasons: ${listed(reasons)}.`;
  // The planned ratio belongs to the planned sensor, as the reading does here.
  const readHere = planned.magnification * larger;
  const movedMm = moveBackMm(planned.focalMm, readHere, planned.magnification);
  if (plannedBody.longMm <= 0 || magnification.value <= 0 || Math.abs(movedMm) < 1) return "";
  return `Why is not on record; with the ${planned.lens.name} the camera stood ${sayDistance(movedMm)} ${movedMm > 0 ? "nearer" : "farther off"}.`;
}

/** "1:4.02 ± 0.5 %". */
export function sayReached(magnification: number, relative95: number | null): string {
  const within = relative95 === null ? "" : ` ± ${(100 * relative95).toFixed(1)} %`;
  return `${formatRatio(magnification)}${within}`;
}

/** What was wrong with the frame itself, and what is done instead. */
export function faultsOf(done: FrameDone, reached: Reached, tolerances: Tolerances): readonly string[] {
  const { planned, picture, verdict } = done;
  const faults: string[] = [];
  if (reached.relative95 === null) {
    const because = planned.view.scale === "none" ? "the view has no scale" : reason(picture.ratioFrom);
    faults.push(
      `Its ratio was not read (${because}): the planned ${formatRatio(planned.magnification)} stands.`,
    );
  } else if (reached.pair !== null) {
    faults.push(`It has no scale of its own: the ratio is that of ${reached.pair.name}, its pair.`);
  } else if (picture.ratio === null) {
    faults.push(
      `Its field was read, its ratio was not (${reason(picture.ratioFrom)}): the field is repeated, which needs no sensor.`,
    );
  }
  const lean = picture.leanDeg;
  if (lean !== null && lean.value > tolerances.leanDeg) {
    const surely = lean.value - lean.u95 > tolerances.leanDeg;
    faults.push(
      `${surely ? "It leaned" : "It may have leaned"} ${Math.round(lean.value)}° (${tolerances.leanDeg}° are allowed): that is not repeated. Hold the camera as planned, ${planned.view.cameraAngle}; the ratio is that of the middle.`,
    );
  }
  if (verdict.verdict === "repeat") {
    faults.push(`It was to be made again and was not: "${verdict.say}" What it reached rules all the same.`);
  }
  return faults;
}

const reason = (text: string | null): string =>
  text === null
    ? "nothing tells why"
    : text.replace(/[.\s]+$/, "").replace(/^[A-Z](?=[a-z])/, (first) => first.toLowerCase());
