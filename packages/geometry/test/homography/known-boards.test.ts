import assert from "node:assert/strict";
import { test } from "node:test";
import {
  applyHomography,
  coverageFactor95,
  type Fitted,
  fitHomography,
  imagePoint,
  invertHomography,
  leanFromHomography,
  type Point,
  propagateCovariance,
} from "../../src/index.ts";
import { shared } from "../support/shared.ts";

/**
 * Real pictures with known truth: 13 pictures of a chessboard of 25 mm squares with a calibrated camera, and a 65 mm tag
 * turned by stated angles. Corner coordinates are the data set's own; its origin is the first pixel's centre.
 */
const { skip, json } = shared("data/calibration/truth.json");

interface Truth {
  readonly leftCamera: { readonly K: readonly number[]; readonly distortion: readonly number[] };
  readonly items: readonly {
    readonly file: string;
    readonly type: string;
    readonly innerCorners?: readonly [number, number];
    readonly squareMm?: number;
    readonly corners?: readonly (readonly [number, number])[];
    readonly cameraK?: readonly number[];
    readonly tagMm?: number;
    readonly tiltDeg?: number;
    readonly tags?: readonly { readonly corners: readonly (readonly [number, number])[] }[];
  }[];
}

const truth = (): Truth => json<Truth>();

/** Takes radial and tangential distortion out, by iterating the published model backwards. */
function undistorted([u, v]: readonly [number, number], { K, distortion }: Truth["leftCamera"]): Point {
  const [fx, , cx, , fy, cy] = K as [number, number, number, number, number, number];
  const [k1, k2, p1, p2, k3] = distortion as [number, number, number, number, number];
  const [xd, yd] = [(u - cx) / fx, (v - cy) / fy];
  let [x, y] = [xd, yd];
  for (let i = 0; i < 50; i++) {
    const r2 = x * x + y * y;
    const radial = 1 + r2 * (k1 + r2 * (k2 + r2 * k3));
    const dx = 2 * p1 * x * y + p2 * (r2 + 2 * x * x);
    const dy = p1 * (r2 + 2 * y * y) + 2 * p2 * x * y;
    [x, y] = [(xd - dx) / radial, (yd - dy) / radial];
  }
  return { x: x * fx + cx, y: y * fy + cy };
}

function boards() {
  const t = truth();
  return t.items
    .filter((item) => item.type === "chessboard")
    .map((item) => {
      const columns = item.innerCorners![0];
      const pairs = item.corners!.map((corner, i) => ({
        from: { x: (i % columns) * item.squareMm!, y: Math.floor(i / columns) * item.squareMm! },
        to: undistorted(corner, t.leftCamera),
      }));
      return { file: item.file, columns, pairs, camera: t.leftCamera };
    });
}

/** Standard deviation of one measured coordinate, from a fit's own residuals. */
const noiseOf = (fit: Fitted): number =>
  Math.sqrt(fit.residuals.reduce((sum, r) => sum + r * r, 0) / fit.degreesOfFreedom);

test("13 chessboards: an L of two edges gives distances over the whole board to 2 %, and says how sure they are", {
  skip,
}, () => {
  const errors: number[] = [];
  for (const { file, columns, pairs } of boards()) {
    const fit = fitHomography(pairs.filter((_, i) => i % columns === 0 || i < columns));
    assert.ok(fit.ok, `${file}: ${fit.ok ? "" : fit.reason}`);
    const far = pairs.length - 1;
    for (const [i, j] of [
      [0, far],
      [columns - 1, far - columns + 1],
      [far - columns + 1, far],
      [columns - 1, far],
    ] as const) {
      const [one, other] = [pairs[i]!, pairs[j]!];
      const values = [...fit.homography.flat().slice(0, 8), one.to.x, one.to.y, other.to.x, other.to.y];
      const own = noiseOf(fit) ** 2;
      const covariance = values.map((_, r) =>
        values.map((__, c) => (r < 8 && c < 8 ? fit.covariance[r]![c]! : r === c ? own : 0)),
      );
      const distance = (v: readonly number[]): readonly [number] => {
        const toMm = invertHomography([
          [v[0]!, v[1]!, v[2]!],
          [v[3]!, v[4]!, v[5]!],
          [v[6]!, v[7]!, 1],
        ]);
        const p = applyHomography(toMm, { x: v[8]!, y: v[9]! });
        const q = applyHomography(toMm, { x: v[10]!, y: v[11]! });
        return [Math.hypot(p.x - q.x, p.y - q.y)];
      };
      const real = Math.hypot(one.from.x - other.from.x, one.from.y - other.from.y);
      const u = Math.sqrt(propagateCovariance({ f: distance, values, covariance })[0]![0]!);
      const error = Math.abs(distance(values)[0] - real);
      errors.push(error / real);
      // Twice the interval: what the published distortion leaves over at 0.1 to 0.3 px is no random error of the fit.
      assert.ok(
        error <= 2 * coverageFactor95(fit.degreesOfFreedom) * u,
        `${file} ${i}-${j}: ${error} mm, u ${u}`,
      );
    }
  }
  errors.sort((p, q) => p - q);
  // 0.2 to 0.4 px of corner noise on edges of 150 to 300 px, carried twice as far.
  assert.ok(errors[errors.length >> 1]! < 0.005, `median ${errors[errors.length >> 1]}`);
  assert.ok(errors.at(-1)! < 0.02, `worst ${errors.at(-1)}`);
});

test("13 chessboards: the focal length told from the lean alone is the calibrated one to 5 %, the lean to 1°", {
  skip,
}, () => {
  for (const { file, pairs, camera } of boards()) {
    const fit = fitHomography(pairs);
    assert.ok(fit.ok && fit.rmsResidual < 0.5, `${file}: ${fit.ok ? fit.rmsResidual : fit.reason}`);
    const centre = imagePoint(camera.K[2]!, camera.K[5]!);
    const known = leanFromHomography(invertHomography(fit.homography), centre, camera.K[0]!);
    const told = leanFromHomography(invertHomography(fit.homography), centre, null);
    assert.ok(known.ok && told.ok, file);
    assert.ok(Math.abs(told.focalPx / camera.K[0]! - 1) < 0.05, `${file}: ${told.focalPx}`);
    assert.ok(Math.abs(told.tiltDeg - known.tiltDeg) < 1, `${file}: ${told.tiltDeg} ${known.tiltDeg}`);
  }
});

test("a tag turned about the vertical by stated angles leans sideways by those angles, to 3°", {
  skip,
}, () => {
  for (const item of truth().items.filter(({ type }) => type !== "chessboard")) {
    const k = item.cameraK!;
    const side = item.tagMm!;
    const square = [imagePoint(0, 0), imagePoint(side, 0), imagePoint(side, side), imagePoint(0, side)];
    const corners = item.tags![0]!.corners;
    const fit = fitHomography(
      square.map((from, i) => ({ from, to: { x: corners[i]![0], y: corners[i]![1] } })),
    );
    assert.ok(fit.ok);
    const lean = leanFromHomography(
      invertHomography(fit.homography),
      imagePoint(k[2]!, k[5]!),
      (k[0]! + k[4]!) / 2,
    );
    assert.ok(lean.ok);
    const radians = Math.PI / 180;
    // The rig itself leans up and down; the stated angle is the part about the vertical axis.
    const sideways =
      Math.atan(Math.tan(lean.tiltDeg * radians) * Math.cos(lean.tiltDirectionDeg * radians)) / radians;
    // Corners are good to 0.7 px of about 100 px: 1 to 3° of lean, least sure when square on.
    assert.ok(Math.abs(sideways - item.tiltDeg!) < 3, `${item.file}: ${sideways}`);
  }
});
