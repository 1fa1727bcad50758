import assert from "node:assert/strict";
import { test } from "node:test";
import { applyHomography, fittedEllipseOf, imagePoint, localScalePxPerMm } from "../../src/index.ts";
import { cameraMmToPx, cameraPxToMm } from "../support/camera.ts";
import { discOf } from "../support/shapes.ts";

/**
 * How circles show tilt: the project's table of facts, section 3.2 (computed there from cos t, not published).
 * tilt in degrees, cos t to five decimals, length error across the tilt axis in per cent to three.
 */
const table = [
  [2, 0.99939, 0.061],
  [5, 0.99619, 0.381],
  [10, 0.98481, 1.519],
  [15, 0.96593, 3.407],
  [20, 0.93969, 6.031],
  [30, 0.86603, 13.397],
] as const;
/** Half the last printed digit, and 2e-6 for a camera that is far but not infinitely so. */
const COSINE = 0.000005 + 2e-6;
const PER_CENT = 0.0005 + 2e-4;

const far = (tiltDeg: number) => ({
  focalPx: 2e9,
  centreX: 3000,
  centreY: 2000,
  distanceMm: 1e8,
  tiltDeg,
  tiltDirectionDeg: 25,
  rollDeg: 70,
});

for (const [tiltDeg, cosine, percent] of table) {
  test(`${tiltDeg}° of tilt: a circle shows its axes as 1 : ${cosine}, lengths across are short by ${percent} %`, () => {
    const h = cameraMmToPx(far(tiltDeg));
    const seen = fittedEllipseOf({ outline: discOf(2000, 20).map((p) => applyHomography(h, p)), holes: [] });
    assert.ok(seen !== null && Math.abs(seen.semiMinor / seen.semiMajor - cosine) < COSINE);
    const scale = localScalePxPerMm(cameraPxToMm(far(tiltDeg)), imagePoint(3000, 2000));
    assert.ok(Math.abs(scale.min / scale.max - cosine) < COSINE);
    assert.ok(Math.abs(100 * (1 - scale.min / scale.max) - percent) < PER_CENT);
    // Areas fall by the same factor: 20 px/mm squared, times the cosine.
    assert.ok(Math.abs(scale.mean ** 2 / 400 - cosine) < COSINE);
    // The scale is shortest along the direction in which the plane recedes.
    assert.ok(Math.abs(scale.atAngle(25) / scale.min - 1) < 1e-6);
    assert.ok(Math.abs(scale.atAngle(115) / scale.max - 1) < 1e-6);
  });
}

test("an axis ratio wrong by 1 % reads as 8.1°", () => {
  assert.ok(Math.abs((Math.acos(0.99) * 180) / Math.PI - 8.1) < 0.05);
});

test("a close camera adds keystone: equal lengths at depths that differ by h show as 1 + h / D", () => {
  const [distanceMm, tiltDeg] = [400, 20];
  const h = cameraMmToPx({ ...far(tiltDeg), focalPx: 8000, distanceMm, tiltDirectionDeg: 0, rollDeg: 0 });
  const side = 50;
  const lengthAt = (x: number): number => {
    const [top, bottom] = [applyHomography(h, { x, y: -10 }), applyHomography(h, { x, y: 10 })];
    return Math.hypot(top.x - bottom.x, top.y - bottom.y);
  };
  const depth = side * Math.sin((tiltDeg * Math.PI) / 180);
  assert.ok(Math.abs(lengthAt(0) / lengthAt(side) - (1 + depth / distanceMm)) < 1e-12);
});
