import { imagePoint, leanFromHomography, type Point, type Vector3 } from "@samescale/geometry";
import type { Matrix3, ReadScale, ScaleFound } from "../answers.ts";
import { FACING, normalOf, onPlane, type PlaneView } from "./view.ts";

/** How pixels become millimetres for one region, and what is not known about it. */
export interface ScaleInForce {
  readonly method: "plane" | "local-scale";
  readonly toMm: (p: Point) => Point;
  readonly pxPerMm: number;
  readonly view: PlaneView;
  /** Whether the view's focal length is known, not merely usual. */
  readonly isFocalKnown: boolean;
  /** From the camera to the scale's plane, along its normal. */
  readonly distanceMm: number;
  /** What each scale weighs at this place: the nearer the more. */
  readonly scales: readonly WeighedScale[];
  /** Standard uncertainty of the lean, radians; null: nothing is known but the limit that is assumed. */
  readonly leanURad: number | null;
  /** Relative standard uncertainties of a length. */
  readonly fitU: number;
  readonly toleranceU: number;
  /** Of the height above the surface that a person told; null: nobody did. */
  readonly heightU: number | null;
  readonly disagreementU: number;
  /** Largest relative difference between two scales, where there are several. */
  readonly disagreement: number;
}

export interface WeighedScale {
  readonly scale: ReadScale;
  readonly weight: number;
}

/** Of a frame: between a phone's and a long close-up lens, where the picture does not show its own focal length. */
const USUAL_FOCAL_SIDES = 2.2;
/** Relative standard uncertainty of a scale's own length, where the reading does not state the one it took in. */
const SCALE_TOLERANCE_U = 0.001;

/** @param at the middle of the region, upright pixels */
export function scaleInForce(reading: ScaleFound, at: Point): ScaleInForce {
  const centre = { x: reading.widthPx / 2, y: reading.heightPx / 2 };
  const scales = weighed(reading.scales, at);
  const fit = combinedU(scales);
  const toleranceU = Math.min(fit, shareStated(reading, "scaleToleranceU") ?? SCALE_TOLERANCE_U);
  const heightU = shareStated(reading, "scaleHeightU");
  const known = {
    scales,
    // The reading's interval holds all three; the budget names each.
    fitU: Math.sqrt(Math.max(0, fit ** 2 - toleranceU ** 2 - (heightU ?? 0) ** 2)),
    toleranceU,
    heightU,
  };
  if (reading.plane) {
    const { homographyPxToMm: h, tiltDeg } = reading.plane;
    const { focalPx, isKnown } = focalOf(reading, h);
    const view = { centre, focalPx, normal: normalOf(h, centre, focalPx) };
    const pxPerMm = localPxPer((p) => through(h, p), at);
    const predicted = scales.map(({ scale }) => pxPerMmByPlane(h, scale));
    const misfits = scales.map(({ scale }, i) => Math.log(scale.pxPerMm.value / predicted[i]!));
    return {
      ...known,
      method: "plane",
      toMm: (p) => through(h, p),
      pxPerMm,
      view,
      isFocalKnown: isKnown,
      distanceMm: localPxPer((p) => onPlane(view, [p])?.[0] ?? p, at) / pxPerMm,
      leanURad: radians(tiltDeg.u95) / 2,
      ...spreadOf(misfits),
    };
  }
  const logScale = scales.reduce((sum, { scale, weight }) => sum + weight * Math.log(scale.pxPerMm.value), 0);
  const pxPerMm = Math.exp(logScale);
  const { focalPx, isKnown } = focalOf(reading, null);
  return {
    ...known,
    method: "local-scale",
    toMm: (p) => ({ x: (p.x - at.x) / pxPerMm, y: (p.y - at.y) / pxPerMm }),
    pxPerMm,
    view: { centre, focalPx, normal: FACING },
    isFocalKnown: isKnown,
    distanceMm: focalPx / pxPerMm,
    leanURad: null,
    ...spreadOf(scales.map(({ scale }) => Math.log(scale.pxPerMm.value))),
  };
}

/**
 * Weights by inverse distance: on the line between two scales this is interpolation, beside a single near one the
 * others hardly count.
 */
function weighed(scales: readonly ReadScale[], at: Point): WeighedScale[] {
  const nearest = scales.map(
    ({ at: p, pxPerMm }) => 1 / Math.max(Math.hypot(p.x - at.x, p.y - at.y), pxPerMm.value),
  );
  const total = nearest.reduce((sum, w) => sum + w, 0);
  return scales.map((scale, i) => ({ scale, weight: nearest[i]! / total }));
}

/** Of the weighted mean; the scales' errors are taken as independent. */
function combinedU(scales: readonly WeighedScale[]): number {
  return Math.hypot(
    ...scales.map(({ scale, weight }) => (weight * scale.pxPerMm.u95) / 2 / scale.pxPerMm.value),
  );
}

function shareStated(reading: ScaleFound, name: "scaleToleranceU" | "scaleHeightU"): number | null {
  const stated = reading.recipe?.parameters?.[name];
  return typeof stated === "number" && stated >= 0 && stated < 1 ? stated : null;
}

/** Scales that differ: the truth at the region lies somewhere between them, every value alike. */
function spreadOf(logs: readonly number[]): { disagreement: number; disagreementU: number } {
  const disagreement = logs.length > 1 ? Math.max(...logs) - Math.min(...logs) : 0;
  return { disagreement, disagreementU: disagreement / 2 / Math.sqrt(3) };
}

/** By the file, else by the perspective of the plane, else the usual one. */
function focalOf(reading: ScaleFound, h: Matrix3 | null): { focalPx: number; isKnown: boolean } {
  const { imageDistancePx, widthPx, heightPx } = reading;
  const long = Math.max(widthPx, heightPx);
  // Shorter than a third of the frame or longer than thirty is a sign of a bad estimate, not of a lens.
  const isLens = (px: number) => px > long / 3 && px < 30 * long;
  if (imageDistancePx !== undefined && isLens(imageDistancePx)) {
    return { focalPx: imageDistancePx, isKnown: true };
  }
  const lean = h && leanFromHomography(h, imagePoint(widthPx / 2, heightPx / 2), null);
  if (lean?.ok && isLens(lean.focalPx)) return { focalPx: lean.focalPx, isKnown: false };
  return { focalPx: USUAL_FOCAL_SIDES * long, isKnown: false };
}

function through(h: Matrix3, p: Point): Point {
  const w = h[2][0] * p.x + h[2][1] * p.y + h[2][2];
  return {
    x: (h[0][0] * p.x + h[0][1] * p.y + h[0][2]) / w,
    y: (h[1][0] * p.x + h[1][1] * p.y + h[1][2]) / w,
  };
}

/** Ends of one pixel along a scale's edge, about its middle. */
function pixelAlong({ at, axisDeg }: ReadScale): readonly [Point, Point] {
  const [dx, dy] = [Math.cos(radians(axisDeg)) / 2, Math.sin(radians(axisDeg)) / 2];
  return [
    { x: at.x - dx, y: at.y - dy },
    { x: at.x + dx, y: at.y + dy },
  ];
}

function pxPerMmByPlane(h: Matrix3, scale: ReadScale): number {
  const [p, q] = pixelAlong(scale).map((end) => through(h, end)) as [Point, Point];
  return 1 / Math.hypot(p.x - q.x, p.y - q.y);
}

/** Pixels per unit of the view along a scale's edge. */
export function pxPerUnit(view: PlaneView, normal: Vector3, scale: ReadScale): number | null {
  const ends = onPlane({ ...view, normal }, pixelAlong(scale));
  return ends && 1 / Math.hypot(ends[0]!.x - ends[1]!.x, ends[0]!.y - ends[1]!.y);
}

/** Pixels per unit of what a map answers with, both directions alike. */
function localPxPer(map: (p: Point) => Point, at: Point): number {
  const a = map(at);
  const b = map({ x: at.x + 1, y: at.y });
  const c = map({ x: at.x, y: at.y + 1 });
  return 1 / Math.sqrt(Math.abs((b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y)));
}

const radians = (deg: number) => (deg * Math.PI) / 180;
