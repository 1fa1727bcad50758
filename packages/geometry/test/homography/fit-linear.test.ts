import assert from "node:assert/strict";
import { describe, test } from "node:test";
import {
  applyHomography,
  type FitResult,
  fitAffine,
  fitSimilarity,
  type Matrix3,
  normal,
  type PointPair,
  seededRandom,
} from "../../src/index.ts";

const turned: Matrix3 = [
  [3, -4, 700],
  [4, 3, -20],
  [0, 0, 1],
];
const sheared: Matrix3 = [
  [3, -1, 700],
  [0.5, 2, -20],
  [0, 0, 1],
];
const points = [
  { x: 0, y: 0 },
  { x: 10, y: 3 },
  { x: -4, y: 22 },
  { x: 31, y: 17 },
  { x: 8, y: -9 },
];
const through = (h: Matrix3): PointPair[] => points.map((from) => ({ from, to: applyHomography(h, from) }));
const near = (h: Matrix3, truth: Matrix3) =>
  h.flat().forEach((v, i) => {
    assert.ok(Math.abs(v - truth.flat()[i]!) < 1e-10, `element ${i}: ${v}`);
  });
const ok = (fit: FitResult) => {
  assert.ok(fit.ok, fit.ok ? "" : fit.reason);
  return fit;
};

describe("fitSimilarity", () => {
  test("gives back turn, scale and shift; two points are enough", () => {
    near(ok(fitSimilarity(through(turned))).homography, turned);
    near(ok(fitSimilarity(through(turned).slice(1, 3))).homography, turned);
  });
  test("points on one line are enough", () => {
    const pairs = [0, 5, 9].map((x) => ({
      from: { x, y: 2 * x },
      to: applyHomography(turned, { x, y: 2 * x }),
    }));
    near(ok(fitSimilarity(pairs)).homography, turned);
  });
  test("refuses fewer than two different points", () => {
    assert.equal(fitSimilarity([]).ok, false);
    assert.equal(fitSimilarity([through(turned)[0]!, through(turned)[0]!]).ok, false);
  });
  test("does not mirror: a mirrored set leaves residuals", () => {
    const mirrored = points.map((from) => ({ from, to: { x: -from.x, y: from.y } }));
    assert.ok(ok(fitSimilarity(mirrored)).rmsResidual > 5);
  });
});

describe("fitAffine", () => {
  test("gives back six elements; three points are enough", () => {
    near(ok(fitAffine(through(sheared))).homography, sheared);
    near(ok(fitAffine(through(sheared).slice(0, 3))).homography, sheared);
  });
  test("refuses points on one line and fewer than three", () => {
    const pairs = [0, 5, 9].map((x) => ({ from: { x, y: 2 * x }, to: { x: x * x, y: x } }));
    assert.match((fitAffine(pairs) as { reason: string }).reason, /one line/);
    assert.match((fitAffine(pairs.slice(0, 2)) as { reason: string }).reason, /3 pairs/);
  });
});

test("both covariances are the scatter of 2,000 repeated fits", () => {
  const random = seededRandom(77);
  const noise = normal(0, 0.3);
  for (const [fit, truth, elements] of [
    [fitSimilarity, turned, (h: Matrix3) => [h[0][0], h[1][0], h[0][2], h[1][2]]],
    [fitAffine, sheared, (h: Matrix3) => [...h[0], ...h[1]]],
  ] as const) {
    const draws = Array.from({ length: 2000 }, () =>
      ok(
        fit(
          through(truth).map(({ from, to }) => ({
            from,
            to: { x: to.x + noise(random), y: to.y + noise(random) },
          })),
        ),
      ),
    );
    elements(truth).forEach((value, k) => {
      const scatter = Math.sqrt(
        draws.reduce((s, d) => s + (elements(d.homography)[k]! - value) ** 2, 0) / draws.length,
      );
      const told = Math.sqrt(draws.reduce((s, d) => s + d.covariance[k]![k]!, 0) / draws.length);
      // 2,000 draws give a standard deviation to 1.6 %; three times that is allowed.
      assert.ok(Math.abs(told / scatter - 1) < 0.05, `element ${k}: told ${told}, seen ${scatter}`);
    });
  }
});
