import assert from "node:assert/strict";
import { test } from "node:test";
import { applyHomography } from "@samescale/geometry";
import fc from "fast-check";
import { mapFromPoints, type PlacedPoint } from "../../src/align/from-points.ts";

/** Follow-up point → baseline point by an affine map of our own choosing. */
const affine = (fx: number, fy: number): PlacedPoint => [
  1.1 * fx - 0.2 * fy + 30,
  0.15 * fx + 0.95 * fy - 12,
  fx,
  fy,
];

test("three points give the affine map through them, and it is said that nothing checks them", () => {
  const map = mapFromPoints([affine(100, 100), affine(900, 150), affine(300, 700)], 1000);
  assert.ok(map.ok);
  assert.equal(map.kind, "affine");
  const p = applyHomography(map.homography, { x: 500, y: 400 });
  assert.ok(Math.hypot(p.x - (550 - 80 + 30), p.y - (75 + 380 - 12)) < 1e-9);
  assert.equal(map.warnings.length, 1);
  assert.match(map.warnings[0]!, /misplaced/);
});

test("five points of a leaning view give its homography", () => {
  const lean = (fx: number, fy: number): PlacedPoint => {
    const w = 1 + 0.0002 * fx - 0.0001 * fy;
    return [(fx + 10) / w, (1.05 * fy - 5) / w, fx, fy];
  };
  const map = mapFromPoints(
    [lean(50, 60), lean(950, 80), lean(900, 720), lean(70, 690), lean(480, 350)],
    1000,
  );
  assert.ok(map.ok);
  assert.equal(map.kind, "homography");
  assert.ok(map.residualPx < 1e-6);
  assert.deepEqual(map.warnings, []);
});

test("points on one line, mixed-up points and too few points are refused with a reason", () => {
  assert.match(reasonOf([affine(0, 0), affine(1, 1)]), /at least 3/);
  assert.match(reasonOf([affine(1, 1), affine(1, 1), affine(1, 1)]), /coincide|different/);
  // left and right mixed up in three points: the triangle is turned over
  const turned: PlacedPoint[] = [
    [100, 100, 900, 100],
    [900, 100, 100, 100],
    [500, 700, 500, 700],
  ];
  assert.match(reasonOf(turned), /mirror/);
});

test("points on one line still give a similarity, and it is said why not more", () => {
  const map = mapFromPoints([affine(0, 0), affine(100, 100), affine(200, 200)], 1000);
  assert.ok(map.ok);
  assert.equal(map.kind, "similarity");
  assert.ok(map.warnings.some((w) => w.startsWith("only a similarity map")));
});

test("a point misplaced by 40 px is named", () => {
  const points = [
    affine(50, 60),
    affine(950, 80),
    affine(900, 720),
    affine(70, 690),
    affine(480, 350),
    affine(300, 500),
  ];
  const wrong = points.map((p, i): PlacedPoint => (i === 3 ? [p[0] + 40, p[1], p[2], p[3]] : p));
  const map = mapFromPoints(wrong, 1000);
  assert.ok(map.ok);
  assert.ok(map.warnings.some((w) => w.startsWith("point 4 ")));
});

test("an affine movement is found again whatever it is", () => {
  const within = (most: number) => fc.double({ min: -most, max: most, noNaN: true });
  fc.assert(
    fc.property(within(0.4), within(0.4), within(0.4), within(0.4), within(500), (a, b, c, d, shift) => {
      const place = (fx: number, fy: number): PlacedPoint => [
        (1 + a) * fx + b * fy + shift,
        c * fx + (1 + d) * fy - shift,
        fx,
        fy,
      ];
      fc.pre((1 + a) * (1 + d) - b * c > 0.05);
      const map = mapFromPoints([place(10, 20), place(800, 60), place(400, 900)], 1000);
      assert.ok(map.ok);
      const [bx, by] = place(333, 555);
      const p = applyHomography(map.homography, { x: 333, y: 555 });
      assert.ok(Math.hypot(p.x - bx, p.y - by) < 1e-6);
    }),
    { numRuns: 100 },
  );
});

function reasonOf(points: readonly PlacedPoint[]): string {
  const map = mapFromPoints(points, 1000);
  assert.ok(!map.ok);
  return map.reason;
}

test("what is not a number is refused by the number of its point; repeated points give no more than they are", () => {
  for (const [bad, at] of [
    [[Number.NaN, 0, 0, 0], 1],
    [[0, 0, 0, Number.POSITIVE_INFINITY], 3],
  ] as const) {
    const points: PlacedPoint[] = [affine(100, 100), affine(900, 150), affine(300, 700)];
    points[at - 1] = bad;
    const map = mapFromPoints(points, 1000);
    assert.deepEqual(map, { ok: false, reason: `point ${at} holds something that is not a number` });
  }
  const same = affine(100, 100);
  assert.equal(mapFromPoints([same, same, same], 1000).ok, false);
  const twice = mapFromPoints([same, affine(900, 150), affine(900, 150), same], 1000);
  assert.ok(twice.ok && twice.kind === "similarity" && twice.warnings.length > 0);
});
