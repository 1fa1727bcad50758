import assert from "node:assert/strict";
import { describe, test } from "node:test";
import fc from "fast-check";
import {
  applyHomography,
  fitHomography,
  type Matrix3,
  normal,
  type Point,
  type PointPair,
  seededRandom,
} from "../../src/index.ts";
import { within } from "../support/arbitraries.ts";
import { cameraMmToPx } from "../support/camera.ts";
import { homographyByElimination } from "../twins/homography-by-elimination.ts";

const square: readonly Point[] = [
  { x: 0, y: 0 },
  { x: 100, y: 0 },
  { x: 100, y: 80 },
  { x: 0, y: 80 },
];
const leaning = cameraMmToPx({
  focalPx: 9000,
  centreX: 3000,
  centreY: 2000,
  distanceMm: 500,
  tiltDeg: 20,
  tiltDirectionDeg: 40,
  rollDeg: 10,
  offsetXmm: -50,
  offsetYmm: -40,
});
const through = (h: Matrix3, points: readonly Point[]): PointPair[] =>
  points.map((from) => ({ from, to: applyHomography(h, from) }));
const grid = (columns: number, rows: number, pitch: number): Point[] =>
  Array.from({ length: columns * rows }, (_, i) => ({
    x: (i % columns) * pitch,
    y: Math.floor(i / columns) * pitch,
  }));

function fitted(pairs: readonly PointPair[]) {
  const fit = fitHomography(pairs);
  assert.ok(fit.ok, fit.ok ? "" : fit.reason);
  return fit;
}

function reasonFor(pairs: readonly PointPair[]): string {
  const fit = fitHomography(pairs);
  assert.equal(fit.ok, false);
  return fit.ok ? "" : fit.reason;
}

describe("fitHomography on exact points", () => {
  test("four points agree with elimination written out, to 1e-8 px", () => {
    fc.assert(
      fc.property(fc.array(within(-30, 30), { minLength: 8, maxLength: 8 }), (d) => {
        const pairs = square.map((from, i) => ({
          from,
          to: { x: 40 * from.x + 500 + 10 * d[2 * i]!, y: 40 * from.y + 300 + 10 * d[2 * i + 1]! },
        }));
        const fit = fitted(pairs);
        const twin = homographyByElimination(pairs);
        for (const p of [...square, { x: 31, y: 12 }, { x: 77, y: 70 }]) {
          const [one, other] = [applyHomography(fit.homography, p), applyHomography(twin, p)];
          assert.ok(Math.hypot(one.x - other.x, one.y - other.y) < 1e-8, `${one.x - other.x}`);
        }
        assert.ok(fit.rmsResidual < 1e-9);
        assert.equal(fit.degreesOfFreedom, 0);
      }),
      { seed: 5 },
    );
  });

  test("many points of one camera come back to 1e-8 px, whatever their units", () => {
    for (const unit of [1e-6, 1, 1e6]) {
      const points = grid(8, 6, 12.5).map((p) => ({ x: p.x * unit + 1e4 * unit, y: p.y * unit }));
      const toMm: Matrix3 = [
        [1 / unit, 0, -1e4],
        [0, 1 / unit, 0],
        [0, 0, 1],
      ];
      const pairs = points.map((from) => ({
        from,
        to: applyHomography(leaning, applyHomography(toMm, from)),
      }));
      assert.ok(fitted(pairs).rmsResidual < 1e-8, `${fitted(pairs).rmsResidual}`);
    }
  });

  test("an L of two ruled edges determines the plane", () => {
    const corner = [0, 20, 40, 60, 80, 100].flatMap((d) => [
      { x: d, y: 0 },
      { x: 0, y: d },
    ]);
    assert.ok(fitted(through(leaning, corner)).rmsResidual < 1e-9);
  });

  test("weight 0 leaves a pair out of the fit, its residual is still told", () => {
    const wrong = { from: { x: 50, y: 40 }, to: { x: 0, y: 0 }, weight: 0 };
    const fit = fitted([...through(leaning, square), wrong]);
    assert.ok(fit.residuals[4]! > 1000 && fit.rmsResidual < 1e-9);
  });
});

describe("fitHomography on noisy points", () => {
  const random = seededRandom(41);
  const noise = normal(0, 0.5);
  const noisy = (points: readonly Point[]): PointPair[] =>
    through(leaning, points).map(({ from, to }) => ({
      from,
      to: { x: to.x + noise(random), y: to.y + noise(random) },
    }));
  const distances = (h: Matrix3, pairs: readonly PointPair[]): number =>
    pairs.reduce((sum, { from, to }) => {
      const p = applyHomography(h, from);
      return sum + (p.x - to.x) ** 2 + (p.y - to.y) ** 2;
    }, 0);

  test("no small change of any element brings the points nearer", () => {
    const pairs = noisy(grid(6, 5, 20));
    const fit = fitted(pairs);
    const best = distances(fit.homography, pairs);
    for (let k = 0; k < 8; k++) {
      for (const share of [1e-3, -1e-3]) {
        const changed = fit.homography.flat();
        changed[k]! += share * Math.sqrt(fit.covariance[k]![k]!);
        const h = [changed.slice(0, 3), changed.slice(3, 6), changed.slice(6, 9)] as unknown as Matrix3;
        assert.ok(distances(h, pairs) > best);
      }
    }
  });

  test("residuals of 30 points with 0.5 px noise tell 0.5 px", () => {
    const fit = fitted(noisy(grid(6, 5, 20)));
    const perCoordinate = Math.sqrt(fit.residuals.reduce((s, r) => s + r * r, 0) / fit.degreesOfFreedom);
    // 52 degrees of freedom: the estimate scatters by 10 %; three times that is allowed.
    assert.ok(Math.abs(perCoordinate / 0.5 - 1) < 0.3, `${perCoordinate}`);
  });

  test("the covariance is the scatter of 1,500 repeated fits", () => {
    const points = grid(4, 3, 30);
    const draws = Array.from({ length: 1500 }, () => fitted(noisy(points)));
    const truth = leaning.flat().map((v) => v / leaning[2][2]);
    for (let k = 0; k < 8; k++) {
      const scatter = Math.sqrt(
        draws.reduce((s, d) => s + (d.homography.flat()[k]! - truth[k]!) ** 2, 0) / draws.length,
      );
      const told = Math.sqrt(draws.reduce((s, d) => s + d.covariance[k]![k]!, 0) / draws.length);
      // 1,500 draws give a standard deviation to 1.8 %; three times that and a little for the bend of the map.
      assert.ok(Math.abs(told / scatter - 1) < 0.07, `element ${k}: told ${told}, seen ${scatter}`);
    }
  });

  test("just determined, the covariance is that of unit noise", () => {
    const fit = fitted(through(leaning, square));
    const told = Math.sqrt(fit.covariance[2]![2]!);
    // The first point is the origin, so h13 is where it was seen: its deviation is the noise itself.
    assert.ok(Math.abs(told - 1) < 1e-9, `${told}`);
  });

  test("weights are inverse variances: scaled together they change nothing, and a heavy pair is held", () => {
    const pairs = noisy(grid(4, 4, 25));
    const [one, other] = [1, 1e4].map((weight) => fitted(pairs.map((pair) => ({ ...pair, weight }))));
    one!.homography.flat().forEach((v, i) => {
      assert.ok(Math.abs(v - other!.homography.flat()[i]!) <= 1e-9 * Math.max(1, Math.abs(v)));
    });
    one!.covariance.flat().forEach((v, i) => {
      assert.ok(Math.abs(v - other!.covariance.flat()[i]!) <= 1e-6 * Math.abs(v));
    });
    const held = fitted(pairs.map((pair, i) => ({ ...pair, weight: i === 5 ? 1e6 : 1 })));
    assert.ok(held.residuals[5]! < 1e-4 * held.rmsResidual);
  });
});

describe("fitHomography refuses, with the reason", () => {
  const line = [0, 10, 25, 60, 100].map((x) => ({ x, y: 0.3 * x + 2 }));
  const cases: readonly (readonly [string, readonly PointPair[], RegExp])[] = [
    ["nothing", [], /4 pairs of points are needed, 0/],
    ["three points", through(leaning, square.slice(0, 3)), /4 pairs of points are needed, 3/],
    [
      "three points and one of weight 0",
      through(leaning, square).map((p, i) => ({ ...p, weight: i })),
      /3 were given/,
    ],
    [
      "four points of which two coincide",
      through(leaning, [...square.slice(0, 3), square[0]!]),
      /"from" side holds 3/,
    ],
    [
      "two measured points that coincide",
      square.map((from, i) => ({ from, to: square[i === 3 ? 0 : i]! })),
      /"to" side holds 3/,
    ],
    [
      "all points one",
      through(
        leaning,
        [1, 2, 3, 4, 5].map(() => ({ x: 3, y: 4 })),
      ),
      /holds 1 /,
    ],
    ["all on one line", through(leaning, line), /one line/],
    [
      "nearly on one line",
      through(
        leaning,
        line.map((p, i) => ({ x: p.x, y: p.y + 0.01 * (i % 2) })),
      ),
      /one line/,
    ],
    [
      "three of four on one line",
      through(leaning, [...line.slice(0, 3), { x: 50, y: 90 }]),
      /three of the four/,
    ],
    ["all but one on one line", through(leaning, [...line, { x: 50, y: 90 }]), /line/],
    [
      "three measured points of four on one line",
      square.map((from, i) => ({ from, to: i === 3 ? { x: 20, y: 90 } : { x: 10 * i, y: 0 } })),
      /three of the four "to"/,
    ],
    [
      "a bow tie: two corners swapped",
      square.map((from, i) => ({ from, to: square[[0, 2, 1, 3][i]!]! })),
      /behind/,
    ],
    [
      "a NaN",
      [...through(leaning, square), { from: { x: Number.NaN, y: 1 }, to: { x: 1, y: 1 } }],
      /pair 4 .*not a number/,
    ],
    [
      "infinity",
      [...through(leaning, square), { from: { x: 1, y: 1 }, to: { x: 1, y: Infinity } }],
      /pair 4/,
    ],
    ["a negative weight", through(leaning, square).map((p) => ({ ...p, weight: -1 })), /weight -1/],
  ];
  for (const [name, pairs, reason] of cases) test(name, () => assert.match(reasonFor(pairs), reason));

  test("five points that would enlarge position errors more than 300-fold", () => {
    // The third of four on a line is off it by 1/2000 of the span; the fifth keeps the spread large.
    const points = [0, 33, 66, 100].map((x, i) => ({ x, y: i === 2 ? 0.05 : 0 }));
    assert.match(
      reasonFor(through(leaning, [...points, { x: 40, y: 60 }])),
      /hardly determine .* grow \d+-fold/,
    );
  });

  test("any four points are fitted or refused, never thrown at, and a fit is never behind the camera", () => {
    const tame = fc.integer({ min: -1000, max: 1000 }).map((v) => v / 10);
    const wild = fc.oneof(
      fc.integer({ min: 0, max: 4 }),
      within(-1e9, 1e9),
      within(-100, 100),
      within(-100, 100),
      fc.constantFrom(1e-300, 1e300, 1e99, Number.NaN, Number.POSITIVE_INFINITY),
    );
    const usual = fc.integer({ min: 1, max: 1000 }).map((v) => v / 100);
    const odd = fc.constantFrom(0, 1e-300, 1e300, 1e-6, 1e6, Number.NaN, -1, Number.POSITIVE_INFINITY);
    const fits = [
      [tame, usual],
      [wild, usual],
      [tame, fc.oneof(usual, odd)],
    ].map(([coordinate, weight]) => {
      const point = fc.record({ x: coordinate!, y: coordinate! });
      const pair = fc.record({ from: point, to: point, weight: weight! });
      let count = 0;
      fc.assert(
        fc.property(fc.array(pair, { minLength: 3, maxLength: 7 }), (pairs) => {
          const fit = fitHomography(pairs);
          if (!fit.ok) return assert.ok(fit.reason.length > 0);
          count += 1;
          const [g, h, i] = fit.homography[2];
          const used = pairs.filter((p) => p.weight > 0);
          assert.equal(new Set(used.map(({ from }) => Math.sign(g * from.x + h * from.y + i))).size, 1);
          assert.ok([...fit.homography.flat(), ...fit.covariance.flat()].every(Number.isFinite));
        }),
        { seed: 6, numRuns: 1500 },
      );
      return count;
    });
    // Points without any relation seldom lie on one side of a horizon; some do.
    assert.ok(fits[0]! > 80 && fits[2]! > 10, `${fits}`);
  });
});
