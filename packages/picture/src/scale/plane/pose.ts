import type { Matrix3, Measured } from "@samescale/geometry";
import type { Foot } from "../edge/base-line.ts";
import { leastSquares, type Minimum, propagated } from "./least-squares.ts";
import {
  homographyPxToMm,
  type PosedPlane,
  posedPlane,
  pxPerMmOnAxis,
  seen,
  type Vector,
} from "./pinhole.ts";

/**
 * How the camera stood to the plane of the graduations: a pinhole camera over a plane, fitted to every graduation of
 * one rigid scale at once, with what is known beforehand as further observations (the focal length, that a scale's
 * edges are square and equally long within its tolerance, that one tries to hold the camera square on). Where the
 * graduations say nothing the prior remains, and the uncertainty says so.
 */
export interface EdgeInPlane {
  readonly feet: readonly Foot[];
  readonly pitchMm: number;
  /** Along the first edge (0) or at right angles to it (1). */
  readonly turn: 0 | 1;
  /** Standard uncertainty of the direction of the feet's line, radians. */
  readonly directionU: number;
  /** Graduations that no plane explains: change of scale along the edge says little of the lean. */
  readonly bends: boolean;
  /** Scatter of the graduations along the edge, px. */
  readonly rmsPx: number;
  readonly pitchPx: number;
}

export interface CameraPrior {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Image distance in pixels, and how far to trust it (standard deviation of its logarithm). */
  readonly focalPx: number;
  readonly focalLogU: number;
}

export interface Pose {
  readonly homographyPxToMm: Matrix3;
  readonly tiltDeg: Measured;
  /** Pixels per millimetre square to the line of sight, where the optical axis meets the plane. */
  readonly axisPxPerMm: Measured;
  /** The same at the middle of the first edge: what its local px/mm would be without foreshortening. */
  readonly edgePxPerMm: Measured;
}

/** Standard deviations of what is known beforehand. */
const TILT_RAD = 0.45; // 25 degrees: one tries to stand square on
const SQUARENESS_RAD = 0.0017; // 0.1 degrees, half a published tolerance's worth of many scales in use
const EDGE_LENGTH = 0.001; // an edge against another of the same scale
const EDGE_BEND = 0.0015; // change of scale from end to end that a close-up lens's distortion leaves
const SEEN_BEND = 0.05; // of a lone edge that bends as no plane explains: what bends it may look like lean
/** Neighbouring graduations err together. */
const CORRELATION = 1.7;
/** Finer than this no graduation's place is known, px. */
const LEAST_SIGMA_PX = 0.03;
/** The line of the feet is known to this part of a pitch. */
const LINE_SIGMA_PITCH = 0.06;
const MOST_FEET = 40;
/** Mean square of the residuals, each in its own standard deviations: good fits stay below one. */
const MOST_MISFIT = 4;
/** Steeper than anything whose graduations could be read. */
const MOST_TILT_RAD = 1.13; // 65 degrees
/** Along the first edge and across it: leaning the other way, and steeply, are valleys of their own. */
const STARTS: readonly (readonly [along: number, across: number])[] = [
  [-0.1, 0],
  [0.1, 0],
  ...[45, 135, 225, 315].map((deg) => {
    const turn = (deg * Math.PI) / 180;
    return [0.5 * Math.cos(turn), 0.5 * Math.sin(turn)] as const;
  }),
];

/** Parameters: log focal, log px/mm along the first edge, tilt x, tilt y, roll, then per edge start, offset, length error, direction error, bend. */
const SHARED = 5;
const PER_EDGE = 5;

export function fitPose(edges: readonly EdgeInPlane[], prior: CameraPrior): Pose | null {
  const thinned = edges.map((e) => ({ ...e, feet: thin(e.feet) }));
  const first = thinned[0]!;
  const all = thinned.flatMap((e) => e.feet);
  const reference = {
    x: all.reduce((s, p) => s + p.x, 0) / all.length,
    y: all.reduce((s, p) => s + p.y, 0) / all.length,
  };
  const camera = { ...prior, reference };
  const steps = stepsFor(thinned.length);
  const minimum = deepest(
    STARTS.map((tilt) => startOf(thinned, camera, tilt)),
    (p) => residuals(p, thinned, camera),
    steps,
  );
  if (!minimum) return null;
  const measured = (f: (p: readonly number[]) => number): Measured => ({
    value: f(minimum.at),
    u95: 2 * propagated(f, minimum),
  });
  const mid = first.feet[first.feet.length >> 1]!;
  return {
    homographyPxToMm: homographyPxToMm(planeOf(minimum.at, camera)),
    tiltDeg: tilt(minimum),
    axisPxPerMm: measured((p) => pxPerMmOnAxis(planeOf(p, camera))),
    edgePxPerMm: measured((p) => {
      const plane = planeOf(p, camera);
      return plane.focalPx / graduationSeen(plane, p, SHARED, first, mid.k)[2];
    }),
  };
}

function deepest(
  starts: readonly number[][],
  residualsAt: (p: readonly number[]) => number[],
  steps: readonly number[],
): Minimum | null {
  const minima = starts.map((start) => leastSquares(residualsAt, start, steps)).filter((m) => m !== null);
  const best = minima.sort((a, b) => a.sumOfSquares - b.sumOfSquares)[0];
  if (!best) return null;
  // Edges that no plane explains are no rigid scale, or were misread: then nothing is said of a plane.
  const isExplained = best.sumOfSquares <= MOST_MISFIT * residualsAt(best.at).length;
  return isExplained && Math.hypot(best.at[2]!, best.at[3]!) <= MOST_TILT_RAD ? best : null;
}

function planeOf(p: readonly number[], { widthPx, heightPx, reference }: Camera): PosedPlane {
  const shared = {
    focalPx: Math.exp(p[0]!),
    pxPerMm: Math.exp(p[1]!),
    tiltX: p[2]!,
    tiltY: p[3]!,
    roll: p[4]!,
  };
  return posedPlane(shared, [widthPx / 2, heightPx / 2], reference);
}

interface Camera extends CameraPrior {
  readonly reference: { readonly x: number; readonly y: number };
}

/** Least of the tilt's own size and its components' spread: near square on, the tilt itself has no sign to average out. */
function tilt(minimum: Minimum): Measured {
  const deg = 180 / Math.PI;
  const f = (p: readonly number[]) => Math.hypot(p[2]!, p[3]!) * deg;
  const spread = Math.sqrt(Math.max(minimum.covariance[2]![2]!, minimum.covariance[3]![3]!)) * deg;
  const value = f(minimum.at);
  const u = value > 2 * spread ? propagated(f, minimum) : spread;
  return { value, u95: 2 * u };
}

function thin(feet: readonly Foot[]): Foot[] {
  const stride = Math.max(1, Math.ceil(feet.length / MOST_FEET));
  return feet.filter((_, i) => i % stride === 0 || i === feet.length - 1);
}

function startOf(
  edges: readonly EdgeInPlane[],
  camera: Camera,
  [tilt, aside]: readonly [number, number],
): number[] {
  const [a, b] = [edges[0]!.feet[0]!, edges[0]!.feet.at(-1)!];
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  const pxPerMm = length / ((b.k - a.k) * edges[0]!.pitchMm);
  const roll = Math.atan2(b.y - a.y, b.x - a.x);
  const [c, s] = [Math.cos(roll), Math.sin(roll)];
  // Turned about the axis across the edge, the edge recedes.
  const p = [Math.log(camera.focalPx), Math.log(pxPerMm), c * aside - s * tilt, s * aside + c * tilt, roll];
  for (const { feet, pitchMm, turn } of edges) {
    const f = feet[0]!;
    const dx = (f.x - camera.reference.x) / pxPerMm;
    const dy = (f.y - camera.reference.y) / pxPerMm;
    const along = c * dx + s * dy;
    const across = -s * dx + c * dy;
    const beginning = f.k * pitchMm;
    p.push(turn === 0 ? along - beginning : across - beginning, turn === 0 ? across : along, 0, 0, 0);
  }
  return p;
}

function stepsFor(edges: number): number[] {
  const steps = [1e-4, 1e-5, 1e-5, 1e-5, 1e-6];
  for (let i = 0; i < edges; i++) steps.push(1e-4, 1e-4, 1e-6, 1e-6, 1e-6);
  return steps;
}

function residuals(p: readonly number[], edges: readonly EdgeInPlane[], camera: Camera): number[] {
  const plane = planeOf(p, camera);
  const r = [(p[0]! - Math.log(camera.focalPx)) / camera.focalLogU, p[2]! / TILT_RAD, p[3]! / TILT_RAD];
  edges.forEach(({ feet, directionU, rmsPx, pitchPx, bends }, e) => {
    const at = SHARED + e * PER_EDGE;
    // The first edge sets length and direction; a lone edge has nothing to be compared with.
    r.push(
      p[at + 2]! / (e === 0 ? 1e-6 : EDGE_LENGTH),
      p[at + 3]! / (e === 0 ? 1e-6 : SQUARENESS_RAD),
      p[at + 4]! / (bends && edges.length === 1 ? SEEN_BEND : EDGE_BEND),
    );
    const [a, b] = [feet[0]!, feet.at(-1)!];
    const length = Math.hypot(b.x - a.x, b.y - a.y);
    const [ux, uy] = [(b.x - a.x) / length, (b.y - a.y) / length];
    const alongSigma = CORRELATION * Math.max(rmsPx, LEAST_SIGMA_PX);
    // One line, not so many independent points: their common error must not average away.
    const heightU = LINE_SIGMA_PITCH * pitchPx * Math.sqrt(feet.length / 3);
    const acrossSigma = Math.max(heightU, directionU * length * Math.sqrt(feet.length / 12));
    for (const foot of feet) {
      const [x, y] = graduationSeen(plane, p, at, edges[e]!, foot.k);
      const dx = x - foot.x;
      const dy = y - foot.y;
      r.push((dx * ux + dy * uy) / alongSigma, (dy * ux - dx * uy) / acrossSigma);
    }
  });
  return r;
}

/** Picture point and depth of graduation k of the edge whose parameters start at `at`. */
function graduationSeen(
  plane: PosedPlane,
  p: readonly number[],
  at: number,
  { feet, pitchMm, turn }: EdgeInPlane,
  k: number,
): Vector {
  const halfMm = 0.5 * (feet.at(-1)!.k - feet[0]!.k) * pitchMm;
  const middleMm = 0.5 * (feet.at(-1)!.k + feet[0]!.k) * pitchMm;
  const t = (k * pitchMm - middleMm) / halfMm;
  const run = k * pitchMm * (1 + p[at + 2]!) + 0.25 * p[at + 4]! * halfMm * t * t;
  const across = p[at + 1]! + (turn === 0 ? 1 : -1) * run * p[at + 3]!;
  const along = p[at]! + run;
  return turn === 0 ? seen(plane, along, across) : seen(plane, across, along);
}
