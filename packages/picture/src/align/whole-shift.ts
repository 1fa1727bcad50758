import type { OpenCV } from "@opencvjs/node";
import { composeHomographies, type Matrix3 } from "@samescale/geometry";
import { type Cv, Scope } from "../vision/opencv.ts";
import { type Plane, reducedBy, toMat, warped } from "./plane.ts";
import type { Proposal } from "./propose.ts";
import { texture } from "./texture.ts";
import type { WorkPicture } from "./work-picture.ts";

/** Mottling of the skin is still there at a quarter of the working size, noise is not. */
const REDUCTION = 4;
/** A photographer who repeats a view stays well within these; the steps are what the texture's own width forgives. */
const TURNS_DEG = [-16, -12, -8, -4, 0, 4, 8, 12, 16];
const SCALES = [0.86, 0.93, 1, 1.075, 1.16];
/** Peak over standard deviation of the correlation: of some 100,000 places of noise the highest reaches about 4.5. */
const LEAST_PEAK = 6;
const MOST_PROPOSALS = 3;
/** Peaks of one turn and scale nearer than this are one. Reduced pixels. */
const APART_PX = 5;

/**
 * Maps proposed without any landmark: the follow-up's whole texture, turned and scaled in steps, is correlated with
 * the baseline's at every shift at once. On plain or dark skin, where no single spot stands out, all of it together does.
 */
export function wholeShifts(cv: Cv, scope: Scope, baseline: WorkPicture, followup: WorkPicture): Proposal[] {
  const a = masked(cv, scope, baseline);
  const b = masked(cv, scope, followup);
  // Half as large again: shifts of up to half the picture stay clear of what wraps round.
  const side = cv.getOptimalDFTSize(Math.ceil(1.5 * Math.max(a.widthPx, a.heightPx, b.widthPx, b.heightPx)));
  const spectrum = spectrumOf(cv, scope, a, side).data32F.slice();
  const peaks: { readonly h: Matrix3; readonly height: number }[] = [];
  for (const turnDeg of TURNS_DEG) {
    for (const scale of SCALES) {
      const about = turnAndScale(turnDeg, scale, b);
      for (const { x, y, height } of peaksOf(correlation(cv, spectrum, b, about, side), side)) {
        const shift: Matrix3 = [
          [1, 0, x],
          [0, 1, y],
          [0, 0, 1],
        ];
        peaks.push({ h: composeHomographies(shift, about), height });
      }
    }
  }
  peaks.sort((p, q) => q.height - p.height);
  return distinct(peaks.map((p) => p.h)).map((h) => ({
    from: "whole texture",
    homography: enlarged(h),
    support: 0,
  }));
}

/** Even texture at the reduced size, nothing where the picture does not count. */
function masked(cv: Cv, scope: Scope, picture: WorkPicture): Plane {
  const grey = reducedBy(picture.grey, REDUCTION);
  const counts = reducedBy(picture.counts, REDUCTION);
  const { even } = texture(cv, scope, grey);
  for (let i = 0; i < even.values.length; i++) {
    // strong single marks (print, a scale) must not outweigh the rest
    const v = counts.values[i]! > 0.99 ? even.values[i]! : 0;
    even.values[i] = Math.max(-LOUDEST, Math.min(LOUDEST, v));
  }
  return even;
}
const LOUDEST = 1.5;

/** Correlation of the baseline with the turned follow-up at every shift. Native memory is freed at once: there are many. */
function correlation(
  cv: Cv,
  spectrum: Float32Array,
  followup: Plane,
  about: Matrix3,
  side: number,
): Float32Array {
  using scope = new Scope();
  const other = spectrumOf(cv, scope, warped(cv, scope, followup, about, followup, 0), side);
  const b = other.data32F;
  for (let i = 0; i < b.length; i += 2) {
    // a · conjugate of b
    const [re, im] = [b[i]!, b[i + 1]!];
    b[i] = spectrum[i]! * re + spectrum[i + 1]! * im;
    b[i + 1] = spectrum[i + 1]! * re - spectrum[i]! * im;
  }
  const surface = scope.own(new cv.Mat());
  cv.dft(other, surface, cv.DFT_INVERSE | cv.DFT_REAL_OUTPUT | cv.DFT_SCALE, 0);
  return surface.data32F.slice();
}

function spectrumOf(cv: Cv, scope: Scope, plane: Plane, side: number): OpenCV.Mat {
  const padded = new Float32Array(side * side);
  for (let y = 0; y < plane.heightPx; y++) {
    padded.set(plane.values.subarray(y * plane.widthPx, (y + 1) * plane.widthPx), y * side);
  }
  const spectrum = scope.own(new cv.Mat());
  cv.dft(
    toMat(cv, scope, { widthPx: side, heightPx: side, values: padded }),
    spectrum,
    cv.DFT_COMPLEX_OUTPUT,
    0,
  );
  return spectrum;
}

function turnAndScale(turnDeg: number, scale: number, { widthPx, heightPx }: Plane): Matrix3 {
  const [c, s] = [scale * Math.cos((turnDeg * Math.PI) / 180), scale * Math.sin((turnDeg * Math.PI) / 180)];
  const [mx, my] = [widthPx / 2, heightPx / 2];
  return [
    [c, -s, mx - c * mx + s * my],
    [s, c, my - s * mx - c * my],
    [0, 0, 1],
  ];
}

/** The highest places, as signed shifts, in standard deviations of the whole surface. */
function peaksOf(surface: Float32Array, side: number): { x: number; y: number; height: number }[] {
  let squares = 0;
  for (let i = 0; i < surface.length; i++) squares += surface[i]! ** 2;
  const spread = Math.sqrt(squares / surface.length);
  const signed = (v: number) => (v > side / 2 ? v - side : v);
  const high: { x: number; y: number; height: number }[] = [];
  for (let i = 0; i < surface.length; i++) {
    if (surface[i]! < LEAST_PEAK * spread) continue;
    high.push({ x: signed(i % side), y: signed(Math.floor(i / side)), height: surface[i]! / spread });
  }
  const peaks: typeof high = [];
  for (const place of high.sort((p, q) => q.height - p.height)) {
    if (peaks.every((p) => Math.hypot(p.x - place.x, p.y - place.y) > APART_PX)) peaks.push(place);
    if (peaks.length === MOST_PROPOSALS) break;
  }
  return peaks;
}

/** The first few that put the middle of the picture to different places. */
function distinct(maps: readonly Matrix3[]): Matrix3[] {
  const kept: Matrix3[] = [];
  for (const h of maps) {
    const near = kept.some((k) => {
      const at = (m: Matrix3, x: number, y: number) => [
        m[0][0] * x + m[0][1] * y + m[0][2],
        m[1][0] * x + m[1][1] * y + m[1][2],
      ];
      // at the middle of the reduced picture, where turns and scales of one movement agree
      const [p, q] = [at(h, 125, 85), at(k, 125, 85)];
      return Math.hypot(p[0]! - q[0]!, p[1]! - q[1]!) < 2 * APART_PX;
    });
    if (!near) kept.push(h);
    if (kept.length === MOST_PROPOSALS) break;
  }
  return kept;
}

function enlarged(h: Matrix3): Matrix3 {
  return [
    [h[0][0], h[0][1], h[0][2] * REDUCTION],
    [h[1][0], h[1][1], h[1][2] * REDUCTION],
    [0, 0, 1],
  ];
}
