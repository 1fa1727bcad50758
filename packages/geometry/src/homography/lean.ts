import type { ImagePoint } from "../units.ts";
import { composeHomographies, invertHomography, isSingular, type Matrix3 } from "./matrix3.ts";

export interface Lean {
  readonly ok: true;
  /** Angle between the camera's axis and the plane's normal, 0 to 90. */
  readonly tiltDeg: number;
  /** Direction in the picture in which the plane recedes: 0 right, 90 down, -90 up. No meaning at tilt 0. */
  readonly tiltDirectionDeg: number;
  /** Turn of the plane's x axis in the picture once the tilt is undone: 0 right, 90 down. */
  readonly rollDeg: number;
  /** Used or, when none was given, estimated from the plane itself. */
  readonly focalPx: number;
  /**
   * From the lens' centre of perspective (its entrance pupil) to the plane along the camera's axis. As good as the focal
   * length: 2 % there are 2 % here. A real lens in close-up moves its pupil; for setting up use the optics.
   */
  readonly distanceMm: number;
}

export interface LeanRefused {
  readonly ok: false;
  readonly reason: string;
}

/**
 * Under this tilt the plane's own foreshortening (1 - cos 5° = 0.4 %) and keystone are of the size of a good
 * fit's error, and the focal length that makes them agree is a guess.
 */
const LEAST_TILT_FOR_FOCAL_DEG = 5;
/** Two equations, one unknown: how far the two may disagree (as an angle between their vectors), about 1 in 4. */
const LARGEST_DISAGREEMENT_DEG = 15;

/**
 * How the camera leans against a plane, from its homography px -> mm, the principal point and the focal length in
 * pixels (focal length in mm at the focus used, that is the image distance, times pixels per mm on the sensor).
 *
 * The third row `l` of the homography is the plane's vanishing line in the picture, and the plane's normal in the
 * camera is `n = Kᵀ l`: so `tan tilt = focalPx |(l1, l2)| / (l1 cx + l2 cy + l3)`, exactly. Roll is the direction of
 * the plane's x axis after the shortest turn that brings the normal onto the camera's axis.
 *
 * Without a focal length it is estimated from the two constraints `h1ᵀ ω h2 = 0` and `h1ᵀ ω h1 = h2ᵀ ω h2` on the
 * columns of the inverse homography (square pixels, no skew), and refused where the plane is too square to
 * the camera to determine it. Lens distortion must have been removed.
 * @source Hartley2003 §8.6 (normal from the vanishing line); Zhang2000 §2.3 (constraints)
 */
export function leanFromHomography(
  hPxToMm: Matrix3,
  principalPoint: ImagePoint,
  focalPx: number | null,
): Lean | LeanRefused {
  if (isSingular(hPxToMm)) return refused("the homography maps the plane onto a line");
  if (focalPx !== null && !(focalPx > 0 && Number.isFinite(focalPx))) {
    return refused(`the focal length must be more than 0 px, received ${focalPx}`);
  }
  const fromCentre: Matrix3 = [
    [1, 0, principalPoint.x],
    [0, 1, principalPoint.y],
    [0, 0, 1],
  ];
  const centred = composeHomographies(hPxToMm, fromCentre);
  const mmToCentred = invertHomography(centred);
  const estimated = focalPx === null ? focalFromColumns(mmToCentred) : null;
  if (estimated !== null && typeof estimated !== "number") return estimated;
  const f = focalPx ?? (estimated as number);

  let normal = unit([f * centred[2][0], f * centred[2][1], centred[2][2]]);
  // The normal is taken as pointing away from the camera, so that n · ray > 0 for what is seen at the centre.
  if (normal[2] < 0) normal = [-normal[0], -normal[1], -normal[2]];
  const tiltDeg = degrees(Math.atan2(Math.hypot(normal[0], normal[1]), normal[2]));
  if (focalPx === null && tiltDeg < LEAST_TILT_FOR_FOCAL_DEG) {
    return refused(
      `the plane is too square to the camera (about ${tiltDeg.toFixed(1)}°) to tell the focal length from it`,
    );
  }
  // The column's sign: with h = mm -> px scaled so that the depth h3 · (X, Y, 1) of what is seen is positive.
  const depth = depthAtCentre(mmToCentred, centred);
  const sign = Math.sign(depth) || 1;
  const column = (c: 0 | 1): [number, number, number] => [
    (sign * mmToCentred[0][c]) / f,
    (sign * mmToCentred[1][c]) / f,
    sign * mmToCentred[2][c],
  ];
  const x = unit(column(0));
  // Both columns are unit vectors of the plane times one factor; noise makes them differ a little.
  const unitsPerMm = Math.sqrt(Math.hypot(...column(0)) * Math.hypot(...column(1)));
  const share = x[2] / (1 + normal[2]);
  return {
    ok: true,
    tiltDeg,
    tiltDirectionDeg: degrees(Math.atan2(-normal[1], -normal[0])),
    rollDeg: degrees(Math.atan2(x[1] - share * normal[1], x[0] - share * normal[0])),
    focalPx: f,
    distanceMm: Math.abs(depth) / unitsPerMm,
  };
}

/** Depth, up to the factor of mm -> px, of the plane's point that is seen at the principal point. */
function depthAtCentre(mmToPx: Matrix3, pxToMm: Matrix3): number {
  const w = pxToMm[2][2];
  if (w === 0) return mmToPx[2][2];
  return (mmToPx[2][0] * pxToMm[0][2] + mmToPx[2][1] * pxToMm[1][2]) / w + mmToPx[2][2];
}

/** Focal length in px from the columns of mm -> centred px; least squares over the two constraints, linear in 1 / f². */
function focalFromColumns(h: Matrix3): number | LeanRefused {
  const [[a1, a2], [b1, b2], [c1, c2]] = h;
  const inPicture = [2 * (a1 * a2 + b1 * b2), a1 * a1 + b1 * b1 - a2 * a2 - b2 * b2] as const;
  const inDepth = [2 * c1 * c2, c1 * c1 - c2 * c2] as const;
  const dot = inPicture[0] * inDepth[0] + inPicture[1] * inDepth[1];
  const cross = inPicture[0] * inDepth[1] - inPicture[1] * inDepth[0];
  const sizeInPicture = Math.hypot(...inPicture);
  if (!(dot < 0) || !(sizeInPicture > 0)) {
    return refused("the plane shows no lean from which the focal length could be told");
  }
  if (degrees(Math.atan2(Math.abs(cross), -dot)) > LARGEST_DISAGREEMENT_DEG) {
    return refused("foreshortening and keystone of the plane do not agree on one focal length");
  }
  return sizeInPicture / Math.sqrt(-dot);
}

function unit(v: readonly [number, number, number]): [number, number, number] {
  const size = Math.hypot(...v);
  return [v[0] / size, v[1] / size, v[2] / size];
}

const degrees = (radians: number): number => (radians * 180) / Math.PI;

const refused = (reason: string): LeanRefused => ({ ok: false, reason });
