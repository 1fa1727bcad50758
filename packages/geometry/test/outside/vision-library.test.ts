import assert from "node:assert/strict";
import { before, describe, test } from "node:test";
import type { OpenCV } from "@opencvjs/node";
import {
  applyHomography,
  areaOf,
  contains,
  convexHullOf,
  fitHomography,
  type Matrix3,
  momentsOf,
  normal,
  type Point,
  perimeterOf,
  seededRandom,
} from "../../src/index.ts";
import { cameraMmToPx } from "../support/camera.ts";
import { ellipseOf, starOf } from "../support/shapes.ts";

/** The same questions put to a general computer vision library (OpenCV 4.13, WebAssembly build). */
let cv: typeof OpenCV;
before(async () => {
  const { loadOpenCV } = await import("@opencvjs/node");
  cv = await loadOpenCV();
});

const random = seededRandom(4130);
const noise = normal(0, 0.4);
const leaning = cameraMmToPx({
  focalPx: 9000,
  centreX: 3000,
  centreY: 2000,
  distanceMm: 500,
  tiltDeg: 22,
  tiltDirectionDeg: -50,
  rollDeg: 15,
  offsetXmm: -40,
  offsetYmm: -30,
});
const grid = Array.from({ length: 30 }, (_, i) => ({ x: (i % 6) * 20, y: Math.floor(i / 6) * 18 }));

/** Doubles, so that the library's answer is not limited by single precision. */
const doubles = (points: readonly Point[]) =>
  cv.matFromArray(
    points.length,
    1,
    cv.CV_64FC2,
    points.flatMap((p) => [p.x, p.y]),
  );
const singles = (points: readonly Point[]) =>
  cv.matFromArray(
    points.length,
    1,
    cv.CV_32FC2,
    points.flatMap((p) => [p.x, p.y]),
  );
const matrixOf = (m: OpenCV.Mat): Matrix3 => {
  const d = [...m.data64F];
  return [d.slice(0, 3), d.slice(3, 6), d.slice(6, 9)] as unknown as Matrix3;
};

describe("homography against the vision library", () => {
  test("four points: the same map to 1e-3 px (its input is single precision)", () => {
    const corners = [grid[0]!, grid[5]!, grid[29]!, grid[24]!];
    const to = corners
      .map((p) => applyHomography(leaning, p))
      .map((p) => ({ x: Math.fround(p.x), y: Math.fround(p.y) }));
    const [from32, to32] = [singles(corners), singles(to)];
    const theirs = matrixOf(cv.getPerspectiveTransform(from32, to32));
    const ours = fitHomography(corners.map((from, i) => ({ from, to: to[i]! })));
    assert.ok(ours.ok);
    for (const p of grid) {
      const [a, b] = [applyHomography(theirs, p), applyHomography(ours.homography, p)];
      assert.ok(Math.hypot(a.x - b.x, a.y - b.y) < 1e-3, `${a.x - b.x}`);
    }
    from32.delete();
    to32.delete();
  });

  test("30 noisy points: the same least squares to 0.01 px, and ours is never the worse fit", () => {
    for (let k = 0; k < 20; k++) {
      const pairs = grid.map((from) => {
        const p = applyHomography(leaning, from);
        return { from, to: { x: p.x + noise(random), y: p.y + noise(random) } };
      });
      const [from, to] = [doubles(grid), doubles(pairs.map((pair) => pair.to))];
      const found = cv.findHomography(from, to, 0);
      const theirs = matrixOf(found);
      const ours = fitHomography(pairs);
      assert.ok(ours.ok);
      const cost = (h: Matrix3) =>
        pairs.reduce((sum, pair) => {
          const p = applyHomography(h, pair.from);
          return sum + (p.x - pair.to.x) ** 2 + (p.y - pair.to.y) ** 2;
        }, 0);
      assert.ok(cost(ours.homography) <= cost(theirs) * (1 + 1e-9));
      for (const p of grid) {
        const [a, b] = [applyHomography(theirs, p), applyHomography(ours.homography, p)];
        assert.ok(Math.hypot(a.x - b.x, a.y - b.y) < 0.01, `${a.x - b.x}`);
      }
      for (const mat of [from, to, found]) mat.delete();
    }
  });

  test("mapped points, and distances between them, agree to 1e-6 mm", () => {
    const [from, mapped] = [doubles(grid), new cv.Mat()];
    const h = cv.matFromArray(3, 3, cv.CV_64F, leaning.flat());
    cv.perspectiveTransform(from, mapped, h);
    const theirs = Array.from({ length: grid.length }, (_, i) => ({
      x: mapped.data64F[2 * i]!,
      y: mapped.data64F[2 * i + 1]!,
    }));
    const ours = grid.map((p) => applyHomography(leaning, p));
    for (let i = 0; i < grid.length; i++) {
      const j = (7 * i + 3) % grid.length;
      const distance = (points: readonly Point[]) =>
        Math.hypot(points[i]!.x - points[j]!.x, points[i]!.y - points[j]!.y);
      assert.ok(Math.abs(distance(theirs) - distance(ours)) < 1e-6);
    }
    for (const mat of [from, mapped, h]) mat.delete();
  });
});

describe("polygons against the vision library", () => {
  /** Whole numbers: exact in the library's single precision. */
  const rings = [
    ellipseOf(90, 400, 170, 30, 600, 500),
    starOf([300, 120, 260, 90, 310, 200, 150, 280, 100], 500, 500),
  ].map((ring) => ring.map((p) => ({ x: Math.round(p.x), y: Math.round(p.y) })));

  for (const [i, ring] of rings.entries()) {
    test(`shape ${i + 1}: area, perimeter, moments, hull, inside or not`, () => {
      const contour = singles(ring);
      const region = { outline: ring, holes: [] };
      assert.ok(Math.abs(cv.contourArea(contour) / areaOf(region) - 1) < 1e-9);
      assert.ok(Math.abs(cv.arcLength(contour, true) / perimeterOf(ring) - 1) < 1e-6);
      const theirs = cv.moments(contour, false) as Record<
        "m00" | "m10" | "m01" | "mu20" | "mu11" | "mu02",
        number
      >;
      const ours = momentsOf(region);
      assert.ok(Math.abs(theirs.m10 / theirs.m00 - ours.centroid.x) < 1e-6);
      assert.ok(Math.abs(theirs.m01 / theirs.m00 - ours.centroid.y) < 1e-6);
      for (const [mu, own] of [
        [theirs.mu20, ours.xx],
        [theirs.mu11, ours.xy],
        [theirs.mu02, ours.yy],
      ] as const) {
        assert.ok(Math.abs(mu / theirs.m00 - own) < 1e-6 * ours.xx);
      }
      const hull = new cv.Mat();
      cv.convexHull(contour, hull, false, true);
      const key = (x: number, y: number) => `${x},${y}`;
      const hullKeys = Array.from({ length: hull.rows }, (_, k) =>
        key(hull.data32F[2 * k]!, hull.data32F[2 * k + 1]!),
      );
      assert.deepEqual(
        convexHullOf(ring)
          .map((p) => key(p.x, p.y))
          .sort(),
        hullKeys.sort(),
      );
      for (let y = 0; y < 1000; y += 37) {
        for (let x = 0; x < 1000; x += 41) {
          const place = cv.pointPolygonTest(contour, new cv.Point(x, y), false);
          assert.equal(contains(region, { x, y }), place >= 0, `${x} ${y}`);
        }
      }
      contour.delete();
      hull.delete();
    });
  }
});
