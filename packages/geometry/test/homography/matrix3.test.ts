import assert from "node:assert/strict";
import { describe, test } from "node:test";
import fc from "fast-check";
import {
  applyHomography,
  composeHomographies,
  imagePoint,
  imageToPlane,
  invertHomography,
  jacobianAt,
  localScalePxPerMm,
  type Matrix3,
  planeToImage,
  sameSideOfHorizon,
} from "../../src/index.ts";
import { within } from "../support/arbitraries.ts";
import { cameraPxToMm } from "../support/camera.ts";

const THERE_AND_BACK_PX = 1e-9;
const camera = fc.record({
  focalPx: within(3000, 30000),
  centreX: fc.constant(3000),
  centreY: fc.constant(2000),
  distanceMm: within(150, 2000),
  tiltDeg: within(0, 45),
  tiltDirectionDeg: within(-180, 180),
  rollDeg: within(-180, 180),
});

describe("pixels and millimetres there and back", () => {
  test("within 1e-9 px from (0, 0), (w, h) and (17.25, 3.5), any lean to 45°", () => {
    fc.assert(
      fc.property(camera, (c) => {
        const h = cameraPxToMm(c);
        for (const [x, y] of [
          [0, 0],
          [6000, 4000],
          [17.25, 3.5],
        ] as const) {
          const back = planeToImage(imageToPlane(imagePoint(x, y), h), h);
          assert.ok(Math.hypot(back.x - x, back.y - y) < THERE_AND_BACK_PX, `${back.x} ${back.y}`);
        }
      }),
      { seed: 1 },
    );
  });

  test("a homography and its inverse compose to doing nothing", () => {
    fc.assert(
      fc.property(camera, (c) => {
        const h = cameraPxToMm(c);
        const nothing = composeHomographies(invertHomography(h), h);
        const p = applyHomography(nothing, { x: 1234.5, y: 987.25 });
        assert.ok(Math.hypot(p.x - 1234.5, p.y - 987.25) < THERE_AND_BACK_PX);
      }),
      { seed: 2 },
    );
  });

  test("composing does the inner one first", () => {
    const shift: Matrix3 = [
      [1, 0, 10],
      [0, 1, 0],
      [0, 0, 1],
    ];
    const double: Matrix3 = [
      [2, 0, 0],
      [0, 2, 0],
      [0, 0, 1],
    ];
    assert.deepEqual(applyHomography(composeHomographies(double, shift), { x: 1, y: 3 }), { x: 22, y: 6 });
    assert.deepEqual(applyHomography(composeHomographies(shift, double), { x: 1, y: 3 }), { x: 12, y: 6 });
  });
});

describe("a homography that cannot be undone", () => {
  const cases: readonly (readonly [string, Matrix3])[] = [
    [
      "two equal rows",
      [
        [1, 2, 3],
        [1, 2, 3],
        [0, 0, 1],
      ],
    ],
    [
      "a row of zeros",
      [
        [1, 0, 0],
        [0, 0, 0],
        [0, 0, 1],
      ],
    ],
    [
      "nearly dependent rows",
      [
        [1, 2, 3],
        [2, 4, 6 + 1e-14],
        [0, 0, 1],
      ],
    ],
    [
      "something that is not a number",
      [
        [1, 0, Number.NaN],
        [0, 1, 0],
        [0, 0, 1],
      ],
    ],
    [
      "infinity",
      [
        [1, 0, Number.POSITIVE_INFINITY],
        [0, 1, 0],
        [0, 0, 1],
      ],
    ],
  ];
  for (const [name, h] of cases) {
    test(`is refused: ${name}`, () => {
      assert.throws(() => invertHomography(h), { code: "HOMOGRAPHY_SINGULAR" });
    });
  }

  test("tiny and huge units are no reason to refuse", () => {
    for (const k of [1e-9, 1e9]) {
      const h: Matrix3 = [
        [k, 0, 5 * k],
        [0, k, -2],
        [0, 0, 1],
      ];
      const p = applyHomography(invertHomography(h), applyHomography(h, { x: 7, y: 3 }));
      assert.ok(Math.abs(p.x - 7) < 1e-8 && Math.abs(p.y - 3) < 1e-8 * Math.max(1, 1 / k));
    }
  });
});

describe("the vanishing line", () => {
  const h: Matrix3 = [
    [1, 0, 0],
    [0, 1, 0],
    [0, -0.001, 1],
  ];
  test("separates what one camera can see from what it cannot", () => {
    assert.equal(
      sameSideOfHorizon(h, [
        { x: 0, y: 0 },
        { x: 5, y: 999 },
      ]),
      true,
    );
    assert.equal(
      sameSideOfHorizon(h, [
        { x: 0, y: 0 },
        { x: 5, y: 1001 },
      ]),
      false,
    );
    assert.equal(
      sameSideOfHorizon(h, [
        { x: 5, y: 1001 },
        { x: 9, y: 1500 },
      ]),
      true,
    );
  });
  test("a point on it, or not a number, is on no side", () => {
    assert.equal(sameSideOfHorizon(h, [{ x: 0, y: 1000 }]), false);
    assert.equal(sameSideOfHorizon(h, [{ x: Number.NaN, y: 0 }]), false);
  });
});

describe("local scale", () => {
  test("the Jacobian agrees with differences over a thousandth of a pixel", () => {
    fc.assert(
      fc.property(camera, (c) => {
        const h = cameraPxToMm(c);
        const at = { x: 1500, y: 3100 };
        const step = 1e-3;
        const j = jacobianAt(h, at);
        for (const [column, dx, dy] of [
          [0, step, 0],
          [1, 0, step],
        ] as const) {
          const above = applyHomography(h, { x: at.x + dx, y: at.y + dy });
          const below = applyHomography(h, { x: at.x - dx, y: at.y - dy });
          // 6000 px / 1e-3 px of rounding at 2e-16 leaves about 1e-9 relative.
          const size = Math.hypot(j[0][column], j[1][column]);
          assert.ok(Math.abs((above.x - below.x) / (2 * step) - j[0][column]) < 1e-7 * size);
          assert.ok(Math.abs((above.y - below.y) / (2 * step) - j[1][column]) < 1e-7 * size);
        }
      }),
      { seed: 3 },
    );
  });

  test("largest and smallest are the largest and smallest over all directions, mean is their geometric mean", () => {
    fc.assert(
      fc.property(camera, (c) => {
        const scale = localScalePxPerMm(cameraPxToMm(c), imagePoint(700, 3500));
        const all = Array.from({ length: 720 }, (_, i) => scale.atAngle(i / 4));
        // Directions in steps of 0.25° miss an extreme by at most 0.125°: 1 - cos 0.125° is 2.4e-6.
        assert.ok(Math.abs(Math.max(...all) / scale.max - 1) < 1e-5);
        assert.ok(Math.abs(Math.min(...all) / scale.min - 1) < 1e-5);
        assert.ok(Math.abs(scale.mean ** 2 / (scale.max * scale.min) - 1) < 1e-12);
      }),
      { seed: 4 },
    );
  });

  test("a plane square to the camera shows focal length over distance in every direction", () => {
    const h = cameraPxToMm({
      focalPx: 18000,
      centreX: 3000,
      centreY: 2000,
      distanceMm: 1100,
      tiltDeg: 0,
      tiltDirectionDeg: 0,
      rollDeg: 33,
    });
    const scale = localScalePxPerMm(h, imagePoint(100, 50));
    for (const value of [scale.max, scale.min, scale.mean, scale.atAngle(12)]) {
      assert.ok(Math.abs(value - 18000 / 1100) < 1e-9);
    }
  });
});
