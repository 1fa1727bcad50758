import { coverageFactor95 } from "../uncertainty/coverage.ts";
import type { Measured } from "../uncertainty/measured.ts";
import { propagateCovariance } from "../uncertainty/propagate-covariance.ts";
import type { ImagePoint } from "../units.ts";
import { imagePoint } from "../units.ts";
import { type LeanRefused, leanFromHomography } from "./lean.ts";
import { invertHomography, isSingular, type Matrix3 } from "./matrix3.ts";
import type { Fitted } from "./pairs.ts";

export interface MeasuredLean {
  readonly ok: true;
  readonly tiltDeg: Measured;
  readonly tiltDirectionDeg: number;
  readonly rollDeg: Measured;
}

/** 95 % of the lengths of a vector whose two components are normal with deviation 1 lie below this: √(-2 ln 0.05). */
const RAYLEIGH_95 = Math.sqrt(-2 * Math.log(0.05));

/**
 * The lean with its 95 % interval, from a homography **mm -> px** as `fitHomography` gives it (the picture is the side
 * that was measured), with the standard uncertainties of focal length and principal point: a principal point
 * 1 % of the focal length off is 0.6° of lean.
 *
 * Lean is a vector (how much, which way), so its length is never negative and grows by noise: where it is
 * less than three standard deviations the interval is that of a vector's length, wider than 1.96 u.
 * @source JCGM100 §5.2.2; the length of a two-component normal error (Rayleigh)
 */
export function measuredLean(question: {
  readonly mmToPx: Fitted;
  readonly principalPoint: ImagePoint;
  readonly uPrincipalPointPx: number;
  readonly focalPx: number;
  readonly uFocalPx: number;
}): MeasuredLean | LeanRefused {
  const { mmToPx, principalPoint, focalPx } = question;
  if (mmToPx.covariance.length !== 8) return { ok: false, reason: "a fitted homography mm -> px is needed" };
  if (isSingular(mmToPx.homography))
    return { ok: false, reason: "the homography maps the plane onto a line" };
  const lean = leanFromHomography(invertHomography(mmToPx.homography), principalPoint, focalPx);
  if (!lean.ok) return lean;

  const values = [...mmToPx.homography.flat().slice(0, 8), principalPoint.x, principalPoint.y, focalPx];
  const own = [question.uPrincipalPointPx, question.uPrincipalPointPx, question.uFocalPx];
  const covariance = values.map((_, i) =>
    values.map((__, j) => (i < 8 && j < 8 ? mmToPx.covariance[i]![j]! : i === j ? own[i - 8]! ** 2 : 0)),
  );
  const roll = radians(lean.rollDeg);
  const c = propagateCovariance({
    f: (v) => {
      const moved = leanFromHomography(invertHomography(matrixOf(v)), imagePoint(v[8]!, v[9]!), v[10]!);
      if (!moved.ok) return [NaN, NaN, NaN];
      const [tilt, direction] = [radians(moved.tiltDeg), radians(moved.tiltDirectionDeg)];
      // Taken as a difference on the circle, so that roll near 180° does not jump.
      const turned = radians(moved.rollDeg) - roll;
      return [
        tilt * Math.cos(direction),
        tilt * Math.sin(direction),
        Math.atan2(Math.sin(turned), Math.cos(turned)),
      ];
    },
    values,
    covariance,
  });
  const k = coverageFactor95(mmToPx.degreesOfFreedom > 0 ? mmToPx.degreesOfFreedom : Infinity);
  const [xx, xy, yy] = [c[0]![0]!, c[0]![1]!, c[1]![1]!];
  const largest = Math.sqrt((xx + yy + Math.hypot(xx - yy, 2 * xy)) / 2);
  const [x, y] = [Math.cos(radians(lean.tiltDirectionDeg)), Math.sin(radians(lean.tiltDirectionDeg))];
  const along = Math.sqrt(Math.max(0, xx * x * x + 2 * xy * x * y + yy * y * y));
  const isNearNone = radians(lean.tiltDeg) < 3 * largest;
  const tiltU95 = isNearNone ? largest * RAYLEIGH_95 * (k / coverageFactor95()) : k * along;
  return {
    ok: true,
    tiltDeg: { value: lean.tiltDeg, u95: degrees(tiltU95) },
    tiltDirectionDeg: lean.tiltDirectionDeg,
    rollDeg: { value: lean.rollDeg, u95: degrees(k * Math.sqrt(c[2]![2]!)) },
  };
}

const matrixOf = (v: readonly number[]): Matrix3 => [
  [v[0]!, v[1]!, v[2]!],
  [v[3]!, v[4]!, v[5]!],
  [v[6]!, v[7]!, 1],
];

const radians = (degree: number): number => (degree * Math.PI) / 180;
const degrees = (radian: number): number => (radian * 180) / Math.PI;
