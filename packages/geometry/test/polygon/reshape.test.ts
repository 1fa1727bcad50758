import assert from "node:assert/strict";
import { describe, test } from "node:test";
import fc from "fast-check";
import {
  crossingsBetween,
  isValid,
  perimeterOf,
  type Ring,
  selfCrossingsOf,
  signedAreaOf,
  simplify,
  smooth,
} from "../../src/index.ts";
import { distanceToSegment } from "../../src/polygon/simplify.ts";
import { within } from "../support/arbitraries.ts";
import { boxOf, discOf, staircaseDisc, starOf } from "../support/shapes.ts";

const radii = fc.array(within(20, 100), { minLength: 3, maxLength: 120 });
const scaleOf = fc.constantFrom(1, 1e-6, 1e6);

/** Greatest distance of a ring's points to another ring, every point against every edge. */
function offsetByPairs(points: Ring, to: Ring): number {
  return Math.max(
    ...points.map((p) => Math.min(...to.map((a, i) => distanceToSegment(p, a, to[(i + 1) % to.length]!)))),
  );
}

function checkInvariants(
  before: Ring,
  after: Ring,
  areaChange: number,
  moved: number,
  maxAreaChange: number,
): void {
  assert.ok(after.length >= 3);
  assert.deepEqual(selfCrossingsOf(after), []);
  assert.equal(Math.sign(signedAreaOf(after)), Math.sign(signedAreaOf(before)));
  const change = signedAreaOf(after) / signedAreaOf(before) - 1;
  assert.ok(Math.abs(change) <= maxAreaChange + 1e-12, `area moved ${change}`);
  assert.ok(Math.abs(change - areaChange) < 1e-9, "the result says what it moved");
  const offset = offsetByPairs(before, after);
  assert.ok(Math.abs(offset - moved) <= 1e-9 * perimeterOf(before) || offset <= moved, `${offset} ${moved}`);
}

describe("simplify", () => {
  test("keeps every promise on outlines of every size and on both turns", () => {
    fc.assert(
      fc.property(radii, scaleOf, fc.boolean(), within(0.1, 50), (r, k, turned, off) => {
        const star = starOf(r.map((v) => v * k));
        const outline = turned ? star.toReversed() : star;
        const { ring, areaChange, moved } = simplify(outline, off * k, { maxAreaChange: 0.01 });
        checkInvariants(outline, ring, areaChange, moved, 0.01);
        assert.ok(moved <= off * k);
        assert.ok(ring.every((p) => outline.includes(p)));
      }),
      { seed: 21, numRuns: 200 },
    );
  });

  test("does not come to cross a hole or an outline that it is told of", () => {
    fc.assert(
      fc.property(radii, radii, (outer, inner) => {
        const outline = starOf(outer.map((r) => r + 90));
        const hole = starOf(inner);
        fc.pre(isValid({ outline, holes: [hole] }));
        const { ring } = simplify(outline, 200, { maxAreaChange: 1, keepClearOf: [hole] });
        assert.deepEqual(crossingsBetween(ring, hole), []);
        const thinner = simplify(hole, 200, { maxAreaChange: 1, keepClearOf: [outline] }).ring;
        assert.deepEqual(crossingsBetween(thinner, outline), []);
        assert.ok(isValid({ outline, holes: [thinner] }));
      }),
      { seed: 22, numRuns: 150 },
    );
  });

  test("on whole numbers, where points come to lie on lines, no edge is ever laid through a point", () => {
    let seen = 0;
    fc.assert(
      fc.property(fc.array(within(3, 9), { minLength: 8, maxLength: 30 }), (r) => {
        const outline = starOf(r).map((p) => ({ x: Math.round(p.x), y: Math.round(p.y) }));
        const hole = boxOf(-1, -1, 1, 1);
        fc.pre(isValid({ outline, holes: [hole] }));
        seen += 1;
        const { ring } = simplify(outline, 6, { maxAreaChange: 1, keepClearOf: [hole] });
        assert.ok(isValid({ outline: ring, holes: [hole] }));
      }),
      { seed: 27, numRuns: 400 },
    );
    assert.ok(seen >= 400);
  });

  test("a disc of 2,000 points within 0.25: about as few as the offset allows, area within 0.2 %", () => {
    const { ring, moved } = simplify(discOf(2000, 100), 0.25);
    assert.ok(ring.length < 80 && ring.length >= 45, `${ring.length}`);
    assert.ok(moved <= 0.25);
  });

  test("points on straight sides go, corners stay", () => {
    const along = [...Array(10).keys()].flatMap((i) => [{ x: i, y: 0 }]);
    const box = [...along, { x: 10, y: 0 }, { x: 10, y: 5 }, { x: 10, y: 8 }, { x: 0, y: 8 }];
    assert.deepEqual(simplify(box, 1e-9).ring, boxOf(0, 0, 10, 8));
  });

  test("what cannot be simplified comes back as it is", () => {
    const odd: readonly Ring[] = [
      [],
      [{ x: 1, y: 1 }],
      boxOf(0, 0, 1, 1).slice(0, 3),
      [0, 1, 2, 3, 4].map((x) => ({ x, y: x })),
      [...boxOf(0, 0, 1, 1), { x: Number.NaN, y: 0 }],
      [...boxOf(0, 0, 1, 1), { x: Infinity, y: 0 }],
    ];
    for (const ring of odd) {
      assert.equal(simplify(ring, 0.5).ring, ring);
      assert.equal(smooth(ring.slice(0, 2), 0.5).sigmaUsed, 0);
    }
    assert.equal(simplify(discOf(9, 5), 0).ring.length, 9);
    assert.equal(simplify(discOf(9, 5), Number.NaN).ring.length, 9);
  });

  test("repeated points and spikes go first", () => {
    const spiked = [...discOf(40, 50), { x: 50, y: 0 }, { x: 50.2, y: 0 }, { x: 50, y: 0 }];
    const { ring } = simplify(spiked, 0.3);
    assert.deepEqual(selfCrossingsOf(ring), []);
    assert.ok(ring.length <= 41);
  });
});

describe("smooth", () => {
  test("keeps every promise on rough outlines of every size and on both turns", () => {
    fc.assert(
      fc.property(radii, scaleOf, fc.boolean(), within(0.5, 40), (r, k, turned, sigma) => {
        const star = starOf(r.map((v) => v * k));
        const outline = turned ? star.toReversed() : star;
        const { ring, areaChange, moved } = smooth(outline, sigma * k, { maxAreaChange: 1e-6 });
        checkInvariants(outline, ring, areaChange, moved, 1e-6);
      }),
      { seed: 23, numRuns: 150 },
    );
  });

  test("holes stay inside: what it is told to keep clear of is not crossed", () => {
    fc.assert(
      fc.property(radii, radii, (outer, inner) => {
        const outline = starOf(outer.map((r) => r + 85));
        const hole = starOf(inner);
        fc.pre(isValid({ outline, holes: [hole] }));
        const smoothed = smooth(outline, 25, { keepClearOf: [hole] }).ring;
        assert.ok(isValid({ outline: smoothed, holes: [hole] }));
      }),
      { seed: 24, numRuns: 60 },
    );
  });

  test("a traced disc comes back round: perimeter of the staircase 8 r, of the smooth outline within 1 % of 2 π r", () => {
    const traced = staircaseDisc(60);
    assert.ok(Math.abs(perimeterOf(traced) / (8 * 60) - 1) < 0.02, `${perimeterOf(traced)}`);
    const { ring, areaChange, moved } = smooth(traced, 2);
    assert.ok(Math.abs(perimeterOf(ring) / (2 * Math.PI * 60) - 1) < 0.01, `${perimeterOf(ring)}`);
    assert.ok(Math.abs(areaChange) < 1e-9);
    // A stair of 1 px lies at most 0.71 px off a line through its middle.
    assert.ok(moved < 1.2, `${moved}`);
  });

  test("a disc keeps its radius, which smoothing alone would shrink", () => {
    const { ring, sigmaUsed } = smooth(discOf(500, 100), 20);
    assert.equal(sigmaUsed, 20);
    // About 126 points: a polygon of the disc's area has its corners (2π / 126)² / 12 = 0.02 % further out.
    for (const p of ring) assert.ok(Math.abs(Math.hypot(p.x, p.y) - 100) < 0.03);
  });

  test("asking for more than the shape bears gives less smoothing, at last none", () => {
    const box = boxOf(0, 0, 40, 40);
    assert.ok(smooth(box, 15).sigmaUsed <= 10);
    assert.equal(smooth(box, 1e6).sigmaUsed, 0);
    assert.equal(smooth(box, 1e-9).sigmaUsed, 0);
    assert.equal(smooth(box, Number.NaN).ring, box);
    assert.equal(smooth([...box, { x: Number.NaN, y: 1 }], 2).sigmaUsed, 0);
  });

  test("an outline that crosses itself is left alone", () => {
    const bow = [
      { x: 0, y: 0 },
      { x: 90, y: 90 },
      { x: 90, y: 0 },
      { x: 0, y: 80 },
    ];
    assert.equal(smooth(bow, 3).ring, bow);
  });
});
