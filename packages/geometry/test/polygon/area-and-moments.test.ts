import assert from "node:assert/strict";
import { describe, test } from "node:test";
import fc from "fast-check";
import {
  areaOf,
  centroidOf,
  circularityOf,
  fittedEllipseOf,
  momentsOf,
  orient,
  perimeterOf,
  type Region,
  signedAreaOf,
} from "../../src/index.ts";
import { within } from "../support/arbitraries.ts";
import { boxOf, discOf, ellipseOf, starOf } from "../support/shapes.ts";
import { momentsByCounting } from "../twins/area-by-counting.ts";

const whole = (outline: Region["outline"], ...holes: Region["holes"]): Region => ({ outline, holes });

describe("area, perimeter, circularity", () => {
  test("a regular polygon: n/2 r² sin(2π/n) and 2 n r sin(π/n)", () => {
    for (const n of [3, 4, 7, 400]) {
      const ring = discOf(n, 50, 1e4, -3e3);
      assert.ok(Math.abs(signedAreaOf(ring) / ((n / 2) * 2500 * Math.sin((2 * Math.PI) / n)) - 1) < 1e-12);
      assert.ok(Math.abs(perimeterOf(ring) / (2 * n * 50 * Math.sin(Math.PI / n)) - 1) < 1e-12);
    }
  });

  test("clockwise as seen is positive, turned round negative", () => {
    assert.equal(signedAreaOf(boxOf(0, 0, 3, 2)), 6);
    assert.equal(signedAreaOf(boxOf(0, 0, 3, 2).toReversed()), -6);
  });

  test("holes are taken off whichever way they run", () => {
    const hole = boxOf(2, 2, 4, 5);
    assert.equal(areaOf(whole(boxOf(0, 0, 10, 10), hole)), 94);
    assert.equal(areaOf(whole(boxOf(0, 0, 10, 10).toReversed(), hole, boxOf(6, 6, 7, 7).toReversed())), 93);
  });

  test("area keeps its digits a million pixels from the origin", () => {
    const near = signedAreaOf(starOf([3, 1, 4, 1, 5, 9, 2, 6]));
    assert.ok(Math.abs(signedAreaOf(starOf([3, 1, 4, 1, 5, 9, 2, 6], 1e6, 1e6)) / near - 1) < 1e-8);
  });

  test("a first point repeated at the end changes nothing", () => {
    const ring = boxOf(0, 0, 3, 2);
    assert.equal(signedAreaOf([...ring, ring[0]!]), 6);
    assert.equal(perimeterOf([...ring, ring[0]!]), 10);
  });

  test("nothing, one point and two points have no area", () => {
    assert.equal(signedAreaOf([]), 0);
    assert.equal(signedAreaOf([{ x: 3, y: 1 }]), 0);
    assert.equal(
      perimeterOf([
        { x: 0, y: 0 },
        { x: 3, y: 4 },
      ]),
      10,
    );
    assert.equal(circularityOf([]), 0);
  });

  test("circularity: near 1 for a disc, π/4 for a square, less the longer the box", () => {
    assert.ok(Math.abs(circularityOf(discOf(1000, 7)) - 1) < 1e-5);
    assert.ok(Math.abs(circularityOf(boxOf(0, 0, 5, 5)) - Math.PI / 4) < 1e-12);
    assert.ok(circularityOf(boxOf(0, 0, 50, 5)) < circularityOf(boxOf(0, 0, 20, 5)));
  });

  test("orient turns a ring the way asked for and keeps its area", () => {
    for (const ring of [boxOf(0, 0, 3, 2), boxOf(0, 0, 3, 2).toReversed()]) {
      assert.equal(signedAreaOf(orient(ring, "clockwise")), 6);
      assert.equal(signedAreaOf(orient(ring, "anticlockwise")), -6);
    }
  });
});

describe("moments", () => {
  test("agree with counting small squares, hole and turn included", () => {
    const region = whole(
      ellipseOf(60, 40, 18, 25, 7, -3),
      ellipseOf(40, 9, 5, -40, 12, 1).toReversed(),
      discOf(20, 4, -15, -10),
    );
    const exact = momentsOf(region);
    const counted = momentsByCounting(region, 0.1);
    // 0.1 px squares along about 230 px of edge: 0.1 % of the area is generous.
    assert.ok(Math.abs(exact.area / counted.area - 1) < 1e-3);
    assert.ok(
      Math.hypot(exact.centroid.x - counted.centroid.x, exact.centroid.y - counted.centroid.y) < 0.02,
    );
    for (const key of ["xx", "xy", "yy"] as const) {
      assert.ok(
        Math.abs(exact[key] - counted[key]) < 2e-3 * exact.xx,
        `${key} ${exact[key]} ${counted[key]}`,
      );
    }
  });

  test("a box: sides² / 12 about its middle", () => {
    const { centroid, xx, xy, yy } = momentsOf(whole(boxOf(100, 200, 112, 206)));
    assert.deepEqual(centroid, { x: 106, y: 203 });
    assert.ok(Math.abs(xx - 12) < 1e-10 && Math.abs(yy - 3) < 1e-10 && Math.abs(xy) < 1e-10);
  });

  test("the fitted ellipse of an ellipse is that ellipse", () => {
    fc.assert(
      fc.property(within(1, 5), within(1.05, 8), within(-89, 90), (b, ratio, angle) => {
        const fit = fittedEllipseOf(whole(ellipseOf(2000, b * ratio, b, angle, 30, -20)));
        assert.ok(fit !== null);
        // A 2,000-gon lies inside its circle by 1 - cos(π/2000), 1.2e-6.
        assert.ok(Math.abs(fit.semiMajor / (b * ratio) - 1) < 1e-5);
        assert.ok(Math.abs(fit.semiMinor / b - 1) < 1e-5);
        assert.ok(Math.hypot(fit.centre.x - 30, fit.centre.y + 20) < 1e-9);
        assert.ok(Math.abs(((fit.angleDeg - angle + 270) % 180) - 90) < 1e-6, `${fit.angleDeg} ${angle}`);
        assert.ok(fit.angleDeg > -90 && fit.angleDeg <= 90);
      }),
      { seed: 11 },
    );
  });

  test("without area: no ellipse, the centroid is the mean of the points", () => {
    const line = [
      { x: 0, y: 0 },
      { x: 3, y: 3 },
      { x: 6, y: 6 },
    ];
    assert.equal(fittedEllipseOf(whole(line)), null);
    assert.deepEqual(centroidOf(whole(line)), { x: 3, y: 3 });
  });

  test("half of a region counts with half its weight: the centroid of two boxes made one", () => {
    // A 4 x 2 box and a 2 x 2 box on it: (8 * (2, 1) + 4 * (1, -1)) / 12.
    const ell = [
      { x: 0, y: -2 },
      { x: 2, y: -2 },
      { x: 2, y: 0 },
      { x: 4, y: 0 },
      { x: 4, y: 2 },
      { x: 0, y: 2 },
    ];
    const c = centroidOf(whole(ell));
    assert.ok(Math.abs(c.x - 20 / 12) < 1e-12 && Math.abs(c.y - 4 / 12) < 1e-12);
  });
});
