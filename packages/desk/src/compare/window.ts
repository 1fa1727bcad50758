import {
  applyHomography,
  composeHomographies,
  imagePoint,
  invertHomography,
  jacobianAt,
  type Point,
} from "@samescale/geometry";
import type { Matrix3, OutlineRegion, ScaleFound } from "@samescale/picture";

/** The part of the subject that every picture of a series shows, and how it lies in the baseline. */
export interface SeriesWindow {
  readonly widthMm: number;
  readonly heightMm: number;
  /** Millimetres of the window (origin top left) to pixels of the upright baseline. */
  readonly mmToBaseline: Matrix3;
}

/** Skin round the wound, on each side, as a share of the wound's own size: enough to see landmarks. */
const MARGIN_SHARE = 0.45;
const LEAST_SIDE_MM = 24;
const ASPECT = 4 / 3;

/**
 * A window round everything that was outlined in the baseline, upright as the baseline is, square to the subject's
 * plane where the scale shows it. @param mirrored turns left and right back
 */
export function windowRound(
  regions: readonly OutlineRegion[],
  reading: ScaleFound,
  mirrored: boolean,
): SeriesWindow | null {
  const points = regions.flatMap((region) => region.outline.map(([x, y]) => ({ x, y })));
  const scale = reading.scales[0];
  if (points.length === 0 || scale === undefined) return null;
  const [low, high] = boundsOf(points);
  const centre = imagePoint((low.x + high.x) / 2, (low.y + high.y) / 2);
  const pxToMm = uprightMmAt(centre, reading, scale.pxPerMm.value);
  const mm = points.map((p) => applyHomography(pxToMm, p));
  const [lowMm, highMm] = boundsOf(mm);
  const neededWidth = (highMm.x - lowMm.x) * (1 + 2 * MARGIN_SHARE);
  const neededHeight = (highMm.y - lowMm.y) * (1 + 2 * MARGIN_SHARE);
  const heightMm = Math.ceil(Math.max(LEAST_SIDE_MM / ASPECT, neededHeight, neededWidth / ASPECT) / 3) * 3;
  const widthMm = heightMm * ASPECT;
  const middle = { x: (lowMm.x + highMm.x) / 2, y: (lowMm.y + highMm.y) / 2 };
  const turn = mirrored ? -1 : 1;
  const windowToPlane: Matrix3 = [
    [turn, 0, middle.x - (turn * widthMm) / 2],
    [0, 1, middle.y - heightMm / 2],
    [0, 0, 1],
  ];
  return { widthMm, heightMm, mmToBaseline: composeHomographies(invertHomography(pxToMm), windowToPlane) };
}

/** The window in a follow-up's own pixels. @param followupToBaseline as alignment gives it */
export function windowInFollowup(window: SeriesWindow, followupToBaseline: Matrix3): Matrix3 {
  return composeHomographies(invertHomography(followupToBaseline), window.mmToBaseline);
}

/** From pixels of the window, at so many per millimetre, to pixels of the picture. */
export function fromWindowPx(mmToPicture: Matrix3, pxPerMm: number): Matrix3 {
  const toMm: Matrix3 = [
    [1 / pxPerMm, 0, 0],
    [0, 1 / pxPerMm, 0],
    [0, 0, 1],
  ];
  return composeHomographies(mmToPicture, toMm);
}

/** Pixels to millimetres, turned so that right and down in the picture are right and down in the plane, at `centre`. */
function uprightMmAt(centre: Point, reading: ScaleFound, pxPerMm: number): Matrix3 {
  if (reading.plane === null) {
    return [
      [1 / pxPerMm, 0, 0],
      [0, 1 / pxPerMm, 0],
      [0, 0, 1],
    ];
  }
  const h = reading.plane.homographyPxToMm;
  const [[a, b], [c, d]] = jacobianAt(h, centre);
  const angle = Math.atan2(c, a);
  // A plane frame that runs the other way round is turned over as well as back.
  const flip = a * d - b * c < 0 ? -1 : 1;
  const back: Matrix3 = [
    [Math.cos(angle), Math.sin(angle), 0],
    [-flip * Math.sin(angle), flip * Math.cos(angle), 0],
    [0, 0, 1],
  ];
  return composeHomographies(back, h);
}

function boundsOf(points: readonly Point[]): readonly [low: Point, high: Point] {
  const xs = points.map((p) => p.x);
  const ys = points.map((p) => p.y);
  return [
    { x: Math.min(...xs), y: Math.min(...ys) },
    { x: Math.max(...xs), y: Math.max(...ys) },
  ];
}
