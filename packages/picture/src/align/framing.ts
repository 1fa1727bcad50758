import {
  applyHomography,
  composeHomographies,
  type ImagePoint,
  imagePoint,
  jacobianAt,
  leanFromHomography,
  type Matrix3,
  type Measured,
  type Point,
} from "@samescale/geometry";
import { imageDistanceMm, objectDistanceMm } from "@samescale/optics";
import type { Framing, ScaleAnswer } from "../answers.ts";
import { doNow, inWords } from "./framing-words.ts";
import { SKIN_RATIO_U } from "./same-ratio.ts";

/** One of the two pictures, with what is known of the camera that made it. */
export interface FramedPicture {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly focalMm: number | null;
  /** Size of a pixel on the sensor. */
  readonly pixelMm: number | null;
  readonly scale: ScaleAnswer | null;
}

/** A lens that focuses inside shortens as it comes close, and the file states its engraved length. Relative, 95 %. */
const FOCAL_U95 = 0.24;

const NOT_MOVED: Matrix3 = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];

/**
 * How the follow-up was framed against its baseline, and what undoes it, in this order: swing round the spot in the middle
 * until the surface is seen from the baseline's side, turn the camera about its axis, shift the aim, change the distance.
 * Each is what is left when those before it are done, so that doing all four restores the baseline.
 *
 * The plane of the subject is the scale's where the baseline's reading has one; else the baseline is taken as square to it,
 * which costs some tenths of the difference in distance times the baseline's own lean.
 *
 * @param h follow-up px → baseline px
 * @param hasPerspective whether `h` was fitted with its perspective: without it no change of viewpoint can be told
 */
export function framingOf(
  h: Matrix3,
  baseline: FramedPicture,
  followup: FramedPicture,
  hasPerspective: boolean,
): Framing {
  const [aimedAt, wanted] = [applyHomography(h, middleOf(followup)), middleOf(baseline)];
  const sizeByArea = 1 / Math.sqrt(Math.abs(determinant(jacobianAt(h, middleOf(followup)))));
  const ratios = magnifications(baseline, followup, sizeByArea);
  const toPlane = planeOf(baseline.scale) ?? NOT_MOVED;
  const before = poseOf(toPlane, baseline, ratios?.baseline ?? null);
  const now = poseOf(composeHomographies(toPlane, h), followup, ratios?.followup ?? null);
  const turnedClockwise = before && now ? before.rollDeg - now.rollDeg : -polarTurnDeg(h, middleOf(followup));
  const sizePx =
    before && now ? (now.focalPx * before.distanceMm) / (now.distanceMm * before.focalPx) : sizeByArea;
  const off = { x: aimedAt.x - wanted.x, y: aimedAt.y - wanted.y };
  const longSide = ({ widthPx, heightPx }: FramedPicture) => Math.max(widthPx, heightPx);
  const numbers = {
    timesAsLarge: (sizePx * longSide(baseline)) / longSide(followup),
    nearerMm: nearerMm(baseline, followup, sizePx),
    cameraTurnedDeg: within180(turnedClockwise),
    aimedOffFraction: { x: off.x / baseline.widthPx, y: off.y / baseline.heightPx },
    aimedOffMm: inMm(off, baseline, followup, sizePx),
    seenFromDeg: before && now && hasPerspective ? seenFrom(before, now) : null,
    focalMm:
      baseline.focalMm && followup.focalMm
        ? { baseline: baseline.focalMm, followup: followup.focalMm }
        : null,
  };
  return { ...numbers, words: inWords(numbers), doNow: doNow(numbers) };
}

interface Pose {
  readonly focalPx: number;
  readonly distanceMm: number;
  readonly rollDeg: number;
  /** Tangents of the lean along the picture's axes: positive where the right (the lower) part is further away. */
  readonly recedes: { readonly x: number; readonly y: number };
}

function poseOf(toPlane: Matrix3, picture: FramedPicture, magnification: number | null): Pose | null {
  if (magnification === null || !picture.focalMm || !picture.pixelMm) return null;
  const focalPx = imageDistanceMm(picture.focalMm, magnification) / picture.pixelMm;
  const lean = leanFromHomography(toPlane, middleOf(picture), focalPx);
  if (!lean.ok) return null;
  const [tan, towards] = [Math.tan((lean.tiltDeg * Math.PI) / 180), (lean.tiltDirectionDeg * Math.PI) / 180];
  const recedes = { x: tan * Math.cos(towards), y: tan * Math.sin(towards) };
  return { focalPx, distanceMm: lean.distanceMm, rollDeg: lean.rollDeg, recedes };
}

/** From which side the follow-up sees the surface, against the baseline, in the baseline's directions. */
function seenFrom(before: Pose, now: Pose): Framing["seenFromDeg"] {
  const back = ((before.rollDeg - now.rollDeg) * Math.PI) / 180;
  const x = now.recedes.x * Math.cos(back) - now.recedes.y * Math.sin(back);
  const y = now.recedes.x * Math.sin(back) + now.recedes.y * Math.cos(back);
  const degrees = (tan: number, was: number) => ((Math.atan(was) - Math.atan(tan)) * 180) / Math.PI;
  return { right: degrees(x, before.recedes.x), below: degrees(y, before.recedes.y) };
}

/** Size on the sensor : size of the subject in both pictures; the skin carries a reading from one to the other. */
function magnifications(baseline: FramedPicture, followup: FramedPicture, sizePx: number) {
  if (!baseline.pixelMm || !followup.pixelMm) return null;
  const pxPerMm = baselinePxPerMm(baseline, followup, sizePx);
  if (!pxPerMm) return null;
  return {
    baseline: pxPerMm.value * baseline.pixelMm,
    followup: pxPerMm.value * sizePx * followup.pixelMm,
    u95: pxPerMm.u95 / pxPerMm.value,
  };
}

function baselinePxPerMm(baseline: FramedPicture, followup: FramedPicture, sizePx: number): Measured | null {
  const own = pxPerMmOf(baseline);
  if (own) return own;
  const later = pxPerMmOf(followup);
  if (!later) return null;
  const value = later.value / sizePx;
  return { value, u95: value * Math.hypot(later.u95 / later.value, 2 * SKIN_RATIO_U) };
}

/** Square to the line of sight where the reading says it, else along the scale. */
function pxPerMmOf({ scale, pixelMm }: FramedPicture): Measured | null {
  if (!scale?.found) return null;
  const ratio = scale.reproductionRatio;
  if (ratio && pixelMm) return { value: ratio.value / pixelMm, u95: ratio.u95 / pixelMm };
  return scale.scales[0]?.pxPerMm ?? null;
}

const planeOf = (scale: ScaleAnswer | null): Matrix3 | null =>
  scale?.found && scale.plane ? scale.plane.homographyPxToMm : null;

/** How much nearer the camera stood: the difference of the two object distances. */
function nearerMm(baseline: FramedPicture, followup: FramedPicture, sizePx: number): Measured | null {
  const ratios = magnifications(baseline, followup, sizePx);
  if (!ratios || !baseline.focalMm || !followup.focalMm) return null;
  const [was, is] = [
    objectDistanceMm(baseline.focalMm, ratios.baseline),
    objectDistanceMm(followup.focalMm, ratios.followup),
  ];
  const value = was - is;
  return { value, u95: Math.hypot(value * Math.hypot(FOCAL_U95, ratios.u95), 2 * SKIN_RATIO_U * is) };
}

function inMm(
  off: { readonly x: number; readonly y: number },
  baseline: FramedPicture,
  followup: FramedPicture,
  sizePx: number,
): Framing["aimedOffMm"] {
  const pxPerMm = baselinePxPerMm(baseline, followup, sizePx);
  if (!pxPerMm) return null;
  const measured = (px: number) => {
    const value = px / pxPerMm.value;
    return { value, u95: Math.abs(value) * (pxPerMm.u95 / pxPerMm.value) };
  };
  return { x: measured(off.x), y: measured(off.y) };
}

const middleOf = ({ widthPx, heightPx }: FramedPicture): ImagePoint => imagePoint(widthPx / 2, heightPx / 2);

type Matrix2 = ReturnType<typeof jacobianAt>;
const determinant = ([[a, b], [c, d]]: Matrix2) => a * d - b * c;

/** Turn of the follow-up's content against the baseline's, clockwise. */
function polarTurnDeg(h: Matrix3, at: Point): number {
  const [[a, b], [c, d]] = jacobianAt(h, at);
  return (-Math.atan2(c - b, a + d) * 180) / Math.PI;
}

const within180 = (deg: number) => deg - 360 * Math.round(deg / 360);
