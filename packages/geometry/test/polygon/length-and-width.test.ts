import assert from "node:assert/strict";
import { describe, test } from "node:test";
import fc from "fast-check";
import {
  convexHullOf,
  extentAtRightAngles,
  greatestLengthOf,
  type Point,
  signedAreaOf,
} from "../../src/index.ts";
import { within } from "../support/arbitraries.ts";
import { boxOf, discOf, ellipseOf } from "../support/shapes.ts";
import { extentByTurning, greatestLengthByPairs } from "../twins/greatest-length-by-pairs.ts";
import { hullCornersBySides } from "../twins/hull-by-sides.ts";

const whole = fc.record({ x: fc.integer({ min: -6, max: 6 }), y: fc.integer({ min: -6, max: 6 }) });
/** Products of numbers below 1e-150 vanish: no outline is that small. */
const number = within(-1e4, 1e4).map((v) => (Math.abs(v) < 1e-150 ? 0 : v));
const anywhere = fc.record({ x: number, y: number });
const keys = (points: readonly Point[]): string[] => points.map((p) => `${p.x},${p.y}`).sort();

describe("convexHullOf", () => {
  test("has exactly the corners that no triangle or segment of other points holds", () => {
    fc.assert(
      fc.property(fc.array(whole, { maxLength: 12 }), (points) => {
        assert.deepEqual(keys(convexHullOf(points)), hullCornersBySides(points));
      }),
      { seed: 12, numRuns: 400 },
    );
  });
  test("runs clockwise as seen", () => {
    assert.ok(signedAreaOf(convexHullOf([...boxOf(0, 0, 4, 3), { x: 2, y: 1 }])) === 12);
  });
  test("of points that rounding puts on one line or beside it is never turned inside out", () => {
    fc.assert(
      fc.property(fc.array(within(0, 1), { minLength: 3, maxLength: 30 }), (ts) => {
        const hull = convexHullOf(ts.map((t) => ({ x: 0.1 + t * 0.3, y: 0.2 + t * 0.7 })));
        assert.ok(signedAreaOf(hull) >= 0);
      }),
      { seed: 13 },
    );
  });
});

describe("greatestLengthOf", () => {
  test("equals the greatest of all pairs, and its ends are points of the outline", () => {
    for (const point of [whole, anywhere]) {
      fc.assert(
        fc.property(fc.array(point, { minLength: 1, maxLength: 40 }), (ring) => {
          const { length, ends } = greatestLengthOf(ring);
          // Of equal pairs another may be met first, and Math.hypot then differs in its last digit.
          const twin = greatestLengthByPairs(ring);
          assert.ok(Math.abs(length - twin) <= 1e-15 * twin, `${length} ${twin}`);
          assert.ok(ends.every((end) => ring.some((p) => p.x === end.x && p.y === end.y)));
          assert.equal(Math.hypot(ends[0].x - ends[1].x, ends[0].y - ends[1].y), length);
        }),
        { seed: 14, numRuns: 500 },
      );
    }
  });

  test("holds on rings full of ties: regular polygons, boxes, long thin ellipses", () => {
    const rings = [3, 4, 5, 8, 60, 361].flatMap((n) => [
      discOf(n, 100),
      ellipseOf(n, 100, 1e-3, 30),
      ellipseOf(n, 1e5, 3, 10),
    ]);
    for (const ring of [...rings, boxOf(0, 0, 1, 1), boxOf(0, 0, 1e6, 1e-6)]) {
      const twin = greatestLengthByPairs(ring);
      // Equal pairs differ in their last digit.
      assert.ok(Math.abs(greatestLengthOf(ring).length / twin - 1) < 1e-15, `${ring.length} points`);
    }
  });

  test("an ellipse of 40 x 18: 80 and 36", () => {
    const ring = ellipseOf(720, 40, 18, 33, 5, 5);
    const { length, ends } = greatestLengthOf(ring);
    assert.ok(Math.abs(length - 80) < 1e-9);
    assert.ok(Math.abs(extentAtRightAngles(ring, ends).width - 36) < 1e-9);
  });

  test("nothing has no length, one point 0, two points their distance", () => {
    assert.equal(greatestLengthOf([]).length, Number.NaN);
    assert.equal(greatestLengthOf([{ x: 1, y: 1 }]).length, 0);
    assert.equal(
      greatestLengthOf([
        { x: 1, y: 1 },
        { x: 4, y: 5 },
      ]).length,
      5,
    );
  });
});

describe("extentAtRightAngles", () => {
  test("equals the height of the outline turned level, and the ends lie that far apart across", () => {
    fc.assert(
      fc.property(fc.array(anywhere, { minLength: 2, maxLength: 30 }), anywhere, anywhere, (ring, p, q) => {
        fc.pre(Math.hypot(p.x - q.x, p.y - q.y) > 1);
        const { width, ends } = extentAtRightAngles(ring, [p, q]);
        assert.ok(Math.abs(width - extentByTurning(ring, [p, q])) < 1e-8);
        assert.ok(Math.abs(width - extentByTurning(ends, [p, q])) < 1e-8);
        assert.ok(ends.every((end) => ring.includes(end)));
      }),
      { seed: 15 },
    );
  });

  test("never more than the greatest length along it", () => {
    fc.assert(
      fc.property(fc.array(whole, { minLength: 2, maxLength: 20 }), (ring) => {
        const { length, ends } = greatestLengthOf(ring);
        fc.pre(length > 0);
        assert.ok(extentAtRightAngles(ring, ends).width <= length * (1 + 1e-15));
      }),
      { seed: 16 },
    );
  });

  test("an axis without length is refused", () => {
    const p = { x: 2, y: 2 };
    assert.throws(() => extentAtRightAngles(boxOf(0, 0, 1, 1), [p, p]), { code: "AXIS_WITHOUT_LENGTH" });
    assert.throws(() => extentAtRightAngles([], [p, { x: Number.NaN, y: 1 }]), {
      code: "AXIS_WITHOUT_LENGTH",
    });
  });
});
