import assert from "node:assert/strict";
import { describe, test } from "node:test";
import fc from "fast-check";
import {
  applyHomography,
  fitHomography,
  imagePoint,
  leanFromHomography,
  type Matrix3,
  measuredLean,
  normal,
  type Point,
  seededRandom,
} from "../../src/index.ts";
import { within } from "../support/arbitraries.ts";
import { cameraMmToPx, cameraPxToMm } from "../support/camera.ts";

const centre = imagePoint(3000, 2000);
const base = { focalPx: 12000, centreX: 3000, centreY: 2000, distanceMm: 700, offsetXmm: 20, offsetYmm: -35 };
/** Difference of two directions, on the circle. */
const apart = (a: number, b: number): number => Math.abs(((a - b + 540) % 360) - 180);

describe("leanFromHomography with the focal length", () => {
  test("gives back tilt, its direction and roll of a camera written out, to 1e-7 degrees", () => {
    const angles = fc.record({
      tiltDeg: within(0.01, 70),
      tiltDirectionDeg: within(-179, 179),
      rollDeg: within(-179, 179),
    });
    fc.assert(
      fc.property(angles, (a) => {
        const lean = leanFromHomography(cameraPxToMm({ ...base, ...a }), centre, base.focalPx);
        assert.ok(lean.ok);
        assert.ok(Math.abs(lean.tiltDeg - a.tiltDeg) < 1e-7, `${lean.tiltDeg} ${a.tiltDeg}`);
        // At 0.01° of tilt the direction is 6,000 times less sure than the tilt.
        assert.ok(apart(lean.tiltDirectionDeg, a.tiltDirectionDeg) < 1e-5);
        assert.ok(apart(lean.rollDeg, a.rollDeg) < 1e-7, `${lean.rollDeg} ${a.rollDeg}`);
      }),
      { seed: 7, numRuns: 500 },
    );
  });

  test("gives back the distance along the axis, whatever the lean", () => {
    for (const tiltDeg of [0, 15, 40]) {
      const h = cameraPxToMm({ ...base, tiltDeg, tiltDirectionDeg: 0, rollDeg: 77 });
      const lean = leanFromHomography(h, centre, base.focalPx);
      // The plane passes through (20, -35, 700) and recedes to the right: on the axis it is 20 tan(tilt) nearer.
      const expected = 700 - 20 * Math.tan((tiltDeg * Math.PI) / 180);
      assert.ok(lean.ok && Math.abs(lean.distanceMm - expected) < 1e-8, lean.ok ? `${lean.distanceMm}` : "");
    }
  });

  test("a plane whose y points up (mirrored) leans and rolls the same", () => {
    const mirror: Matrix3 = [
      [1, 0, 0],
      [0, -1, 0],
      [0, 0, 1],
    ];
    const h = cameraPxToMm({ ...base, tiltDeg: 17, tiltDirectionDeg: 60, rollDeg: 25 });
    const flipped = mirror.map((row, r) => h[r]!.map((v) => v * row[r]!)) as unknown as Matrix3;
    const lean = leanFromHomography(flipped, centre, base.focalPx);
    assert.ok(lean.ok && Math.abs(lean.tiltDeg - 17) < 1e-9 && apart(lean.rollDeg, 25) < 1e-9);
  });

  test("the matrix's own factor and sign do not matter", () => {
    const h = cameraPxToMm({ ...base, tiltDeg: 12, tiltDirectionDeg: -80, rollDeg: 170 });
    const negated = h.map((row) => row.map((v) => -3 * v)) as unknown as Matrix3;
    const one = leanFromHomography(h, centre, base.focalPx);
    const other = leanFromHomography(negated, centre, base.focalPx);
    assert.ok(one.ok && other.ok);
    assert.ok(Math.abs(one.tiltDeg - other.tiltDeg) < 1e-9 && apart(one.rollDeg, other.rollDeg) < 1e-9);
  });

  test("square to the plane: tilt 0, roll still told", () => {
    const h: Matrix3 = [
      [0, 0.05, -3],
      [-0.05, 0, 8],
      [0, 0, 1],
    ];
    const lean = leanFromHomography(h, centre, 9000);
    assert.ok(lean.ok && lean.tiltDeg === 0);
    // Plane x = 0.05 * picture y: its x axis points down the picture.
    assert.ok(Math.abs(lean.rollDeg - 90) < 1e-12);
  });
});

describe("leanFromHomography without the focal length", () => {
  test("estimates it from the plane where the lean shows it", () => {
    for (const tiltDeg of [10, 25, 45]) {
      const h = cameraPxToMm({ ...base, tiltDeg, tiltDirectionDeg: 33, rollDeg: -70 });
      const lean = leanFromHomography(h, centre, null);
      assert.ok(lean.ok, "refused");
      assert.ok(Math.abs(lean.tiltDeg - tiltDeg) < 1e-6 && Math.abs(lean.focalPx / base.focalPx - 1) < 1e-8);
    }
  });
  test("refuses when the plane is too square to the camera", () => {
    const lean = leanFromHomography(
      cameraPxToMm({ ...base, tiltDeg: 3, tiltDirectionDeg: 0, rollDeg: 5 }),
      centre,
      null,
    );
    assert.ok(!lean.ok && /too square/.test(lean.reason));
  });
  test("refuses a plane without any keystone", () => {
    const affine: Matrix3 = [
      [0.05, 0, 0],
      [0, 0.06, 0],
      [0, 0, 1],
    ];
    const lean = leanFromHomography(affine, centre, null);
    assert.ok(!lean.ok && /no lean/.test(lean.reason));
  });
  test("refuses foreshortening and keystone that contradict each other", () => {
    // Keystone says that the plane recedes to the right, but it is its other direction that shows shortened.
    const h: Matrix3 = [
      [0.05, 0.012, 0],
      [0.012, 0.06, 0],
      [-2e-5, 0, 1],
    ];
    const lean = leanFromHomography(h, centre, null);
    assert.equal(lean.ok, false);
  });
});

describe("leanFromHomography refuses", () => {
  test("a singular homography", () => {
    const h: Matrix3 = [
      [1, 2, 3],
      [2, 4, 6],
      [0, 0, 1],
    ];
    assert.equal(leanFromHomography(h, centre, 5000).ok, false);
  });
  for (const focal of [0, -100, Number.NaN, Number.POSITIVE_INFINITY]) {
    test(`focal length ${focal}`, () => {
      const lean = leanFromHomography(
        cameraPxToMm({ ...base, tiltDeg: 5, tiltDirectionDeg: 0, rollDeg: 0 }),
        centre,
        focal,
      );
      assert.ok(!lean.ok && /focal length/.test(lean.reason));
    });
  }
});

describe("measuredLean", () => {
  /** Both legs of an L-shaped scale, one much shorter than the other, so that lean is surer one way than the other. */
  const marks = [0, 20, 40, 60, 80, 100].flatMap((d) => [
    { x: d, y: 0 },
    { x: d / 3, y: 30 },
    { x: 0, y: d / 3 },
  ]);
  const corners = [
    { x: 0, y: 0 },
    { x: 100, y: 0 },
    { x: 100, y: 40 },
    { x: 0, y: 40 },
  ];
  const random = seededRandom(9);
  const noise = normal(0, 1);

  /** How often the 95 % intervals of tilt and roll hold the truth. */
  function coverage(
    tiltDeg: number,
    rollDeg: number,
    points: readonly Point[],
    noisePx: number,
    runs: number,
  ) {
    let [tilt, roll] = [0, 0];
    for (let k = 0; k < runs; k++) {
      // What is assumed of the camera is off by its own uncertainty, as in life.
      const h = cameraMmToPx({
        ...base,
        tiltDeg,
        tiltDirectionDeg: 50,
        rollDeg,
        focalPx: base.focalPx + 300 * noise(random),
        centreX: base.centreX + 25 * noise(random),
        centreY: base.centreY + 25 * noise(random),
      });
      const fit = fitHomography(
        points.map((from) => {
          const to = applyHomography(h, from);
          return { from, to: { x: to.x + noisePx * noise(random), y: to.y + noisePx * noise(random) } };
        }),
      );
      assert.ok(fit.ok);
      const lean = measuredLean({
        mmToPx: fit,
        principalPoint: centre,
        uPrincipalPointPx: 25,
        focalPx: base.focalPx,
        uFocalPx: 300,
      });
      assert.ok(lean.ok);
      if (Math.abs(lean.tiltDeg.value - tiltDeg) <= lean.tiltDeg.u95) tilt += 1 / runs;
      if (apart(lean.rollDeg.value, rollDeg) <= lean.rollDeg.u95) roll += 1 / runs;
    }
    return { tilt, roll };
  }

  for (const [tiltDeg, rollDeg] of [
    [0, 20],
    [0.5, 90],
    [2, 179.9],
    [8, -90],
    [20, 20],
  ] as const) {
    test(`95 % intervals hold a true lean of ${tiltDeg}° and roll of ${rollDeg}° about that often`, () => {
      const held = coverage(tiltDeg, rollDeg, marks, 0.4, 800);
      // 800 draws scatter by 0.8 %. Close to 0 the interval of the tilt is the wider one, on purpose.
      assert.ok(held.tilt > 0.93 && held.tilt <= (tiltDeg < 3 ? 1 : 0.975), `tilt ${held.tilt}`);
      assert.ok(held.roll > 0.93 && held.roll < 0.975, `roll ${held.roll}`);
    });
  }

  test("the interval of the roll does not depend on where the circle of angles begins", () => {
    const widths = [20, 90, -90, 180].map((rollDeg) => {
      const h = cameraMmToPx({
        ...base,
        offsetXmm: 0,
        offsetYmm: 0,
        tiltDeg: 0,
        tiltDirectionDeg: 0,
        rollDeg,
      });
      const fit = fitHomography(corners.map((from) => ({ from, to: applyHomography(h, from) })));
      assert.ok(fit.ok);
      const lean = measuredLean({
        mmToPx: fit,
        principalPoint: centre,
        uPrincipalPointPx: 25,
        focalPx: base.focalPx,
        uFocalPx: 300,
      });
      assert.ok(lean.ok && apart(lean.rollDeg.value, rollDeg) < 1e-6);
      return lean.rollDeg.u95;
    });
    for (const width of widths) assert.ok(Math.abs(width / widths[0]! - 1) < 0.02, `${widths}`);
  });

  test("four points leave nothing to judge the noise by: the interval is that of 1 px", () => {
    const held = coverage(25, 10, corners, 1, 800);
    assert.ok(held.tilt > 0.93 && held.tilt < 0.975, `tilt ${held.tilt}`);
    assert.ok(held.roll > 0.93 && held.roll < 0.975, `roll ${held.roll}`);
  });
});
