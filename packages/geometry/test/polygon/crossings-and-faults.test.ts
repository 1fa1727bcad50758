import assert from "node:assert/strict";
import { describe, test } from "node:test";
import fc from "fast-check";
import {
  contains,
  isValid,
  namedFaults,
  type Point,
  type Region,
  seededRandom,
  selfCrossingsOf,
} from "../../src/index.ts";
import { placeInRing } from "../../src/polygon/contains.ts";
import { within } from "../support/arbitraries.ts";
import { boxOf, discOf, starOf } from "../support/shapes.ts";
import { isInsideByRay } from "../twins/area-by-counting.ts";
import { crossingsByPairs } from "../twins/crossings-by-pairs.ts";
import { placeByExactRay } from "../twins/place-by-exact-ray.ts";

const ring = (...xy: readonly (readonly [number, number])[]): Point[] => xy.map(([x, y]) => ({ x, y }));
const whole = (max: number) => fc.record({ x: fc.integer({ min: 0, max }), y: fc.integer({ min: 0, max }) });

describe("selfCrossingsOf", () => {
  test("finds exactly the pairs of edges that all pairs in whole numbers give, ties and spikes included", () => {
    for (const [max, length] of [
      [3, 7],
      [6, 12],
      [1000, 30],
    ] as const) {
      fc.assert(
        fc.property(fc.array(whole(max), { maxLength: length }), (points) => {
          assert.deepEqual(
            selfCrossingsOf(points).map(({ edges }) => edges.join("-")),
            crossingsByPairs(points),
          );
        }),
        { seed: 17, numRuns: 1500 },
      );
    }
  });

  test("stops after as many as asked for, and a scribble of 100,000 points is told at once", () => {
    const random = seededRandom(3);
    const scribble = Array.from({ length: 100_000 }, () => ({ x: 1000 * random(), y: 1000 * random() }));
    assert.equal(selfCrossingsOf(scribble, 7).length, 7);
    const started = performance.now();
    const faults = namedFaults({ outline: scribble, holes: [scribble] });
    assert.match(faults[3]!, /997 or more places/);
    // Well under a second on any machine; all its crossings would take hours.
    assert.ok(performance.now() - started < 10_000);
  });

  test("a long zigzag without crossings is swept along its short side", () => {
    const rows = Array.from({ length: 20_000 }, (_, i) => ({ x: i % 2 === 0 ? 0 : 1000, y: i / 10 }));
    const started = performance.now();
    assert.deepEqual(selfCrossingsOf([...rows, { x: -5, y: 2000 }, { x: -5, y: 0 }]), []);
    assert.ok(performance.now() - started < 10_000);
  });

  test("a bow tie crosses once, in the middle", () => {
    assert.deepEqual(selfCrossingsOf(ring([0, 0], [10, 10], [10, 0], [0, 10])), [
      { at: { x: 5, y: 5 }, edges: [0, 2], kind: "crosses" },
    ]);
  });

  test("a crossing that rounding would miss is found", () => {
    // Edge 0 runs from (0, 0) to (3e8, 1e8); point 3 lies off its line by one part in 1e16.
    const almost = ring([0, 0], [3e8, 1e8], [2e8, 2e8], [1.5e8 + 2 ** -25, 0.5e8], [0, 2e8]);
    const found = selfCrossingsOf(almost);
    assert.deepEqual(
      found.map(({ kind }) => kind),
      ["crosses", "crosses"],
    );
    const touching = ring([0, 0], [3e8, 1e8], [2e8, 2e8], [1.5e8, 0.5e8], [0, 2e8]);
    assert.ok(selfCrossingsOf(touching).every(({ kind }) => kind === "touches"));
    const apart = ring([0, 0], [3e8, 1e8], [2e8, 2e8], [1.5e8 - 2 ** -25, 0.5e8], [0, 2e8]);
    assert.deepEqual(selfCrossingsOf(apart), []);
  });

  test("a star-shaped outline has none", () => {
    fc.assert(
      fc.property(fc.array(within(1, 100), { minLength: 3, maxLength: 200 }), (radii) => {
        assert.deepEqual(selfCrossingsOf(starOf(radii)), []);
      }),
      { seed: 18 },
    );
  });
});

describe("contains", () => {
  test("places whole-number points exactly, on rings of every kind", () => {
    fc.assert(
      fc.property(fc.array(whole(5), { minLength: 1, maxLength: 9 }), whole(5), (points, p) => {
        assert.equal(placeInRing(points, p), placeByExactRay(points, p));
      }),
      { seed: 19, numRuns: 3000 },
    );
  });

  test("agrees with the plain ray off the edges", () => {
    fc.assert(
      fc.property(
        fc.array(within(1, 100), { minLength: 3, maxLength: 40 }),
        within(-100, 100),
        within(-100, 100),
        (radii, x, y) => {
          const outline = starOf(radii);
          fc.pre(outline.every((p) => Math.abs(p.y - y) > 1e-9));
          assert.equal(contains({ outline, holes: [] }, { x, y }), isInsideByRay(outline, { x, y }));
        },
      ),
      { seed: 20 },
    );
  });

  test("edges of outline and hole belong to the region, the inside of a hole does not", () => {
    const region: Region = { outline: boxOf(0, 0, 10, 10), holes: [boxOf(4, 4, 6, 6)] };
    for (const [x, y, inside] of [
      [5, 5, false],
      [4, 5, true],
      [4, 4, true],
      [0, 0, true],
      [10, 3, true],
      [3.9, 5, true],
      [10.1, 3, false],
      [-1, 10, false],
    ] as const) {
      assert.equal(contains(region, { x, y }), inside, `${x} ${y}`);
    }
  });

  test("a point that is not a number lies nowhere", () => {
    assert.equal(contains({ outline: boxOf(0, 0, 1, 1), holes: [] }, { x: Number.NaN, y: 0.5 }), false);
    assert.equal(contains({ outline: boxOf(0, 0, 1, 1), holes: [] }, { x: 0.5, y: Number.NaN }), false);
  });
});

describe("namedFaults", () => {
  const outline = boxOf(0, 0, 100, 100);
  const cases: readonly (readonly [string, Region, readonly RegExp[]])[] = [
    ["nothing wrong", { outline, holes: [boxOf(10, 10, 20, 20), boxOf(30, 30, 40, 40)] }, []],
    ["no points", { outline: [], holes: [] }, [/outline has 0 different points/]],
    [
      "two points",
      { outline: ring([0, 0], [5, 5]), holes: [] },
      [/outline has 2 different points; three are needed/],
    ],
    [
      "one point three times",
      { outline: ring([1, 1], [1, 1], [1, 1]), holes: [] },
      [/point 0 is repeated/, /has 1 diff/],
    ],
    [
      "a point twice running",
      { outline: ring([0, 0], [9, 0], [9, 0], [0, 9]), holes: [] },
      [/point 1 is repeated/],
    ],
    [
      "the first point again at the end",
      { outline: [...outline, outline[0]!], holes: [] },
      [/point 4 is repeated/],
    ],
    [
      "NaN",
      { outline: ring([0, 0], [Number.NaN, 0], [0, 9]), holes: [] },
      [/outline: point 1 is not a number/],
    ],
    [
      "infinity in a hole",
      { outline, holes: [ring([1, 1], [2, Infinity], [3, 1])] },
      [/hole 1: point 1 is not a number/],
    ],
    ["points on one line", { outline: ring([0, 0], [5, 5], [9, 9]), holes: [] }, [/spike|over itself/, /./]],
    [
      "a bow tie",
      { outline: ring([0, 0], [9, 9], [9, 0], [0, 9]), holes: [] },
      [/outline crosses itself near \(4\.5, 4\.5\)/],
    ],
    [
      "a spike",
      { outline: ring([0, 0], [9, 0], [9, 20], [9, 9], [0, 9]), holes: [] },
      [/outline has a spike near/],
    ],
    [
      "a spike at the closing edge",
      { outline: ring([0, 0], [9, 0], [9, 9], [0, 9], [0, 20]), holes: [] },
      [/has a spike/],
    ],
    [
      "a corner on another edge",
      { outline: ring([0, 0], [9, 0], [9, 9], [5, 0], [0, 9]), holes: [] },
      [/touches itself near \(5\.0, 0\.0\)/, /touches itself/],
    ],
    [
      "edges over one another",
      { outline: ring([0, 0], [9, 0], [9, 5], [6, 5], [6, 0], [3, 0], [3, 5], [0, 5]), holes: [] },
      [/runs over itself near/, /touches itself/, /touches itself/],
    ],
    ["a hole outside", { outline, holes: [boxOf(200, 0, 210, 10)] }, [/hole 1 lies outside the outline/]],
    [
      "a hole round the outline",
      { outline, holes: [boxOf(-9, -9, 109, 109)] },
      [/hole 1 lies outside the outline/],
    ],
    [
      "a hole across the edge",
      { outline, holes: [boxOf(90, 40, 110, 60)] },
      [/hole 1 crosses the outline/, /crosses/],
    ],
    [
      "a hole that touches the edge",
      { outline, holes: [ring([0, 50], [10, 45], [10, 55])] },
      [/touches the outline near/],
    ],
    [
      "a hole in a hole",
      { outline, holes: [boxOf(10, 10, 50, 50), boxOf(20, 20, 30, 30)] },
      [/hole 2 lies within hole 1/],
    ],
    [
      "and the other way round",
      { outline, holes: [boxOf(20, 20, 30, 30), boxOf(10, 10, 50, 50)] },
      [/hole 1 lies within hole 2/],
    ],
    [
      "two holes that cross",
      { outline, holes: [boxOf(10, 10, 50, 50), boxOf(40, 20, 60, 30)] },
      [/hole 2 crosses hole 1/, /./],
    ],
  ];
  for (const [name, region, patterns] of cases) {
    test(name, () => {
      const faults = namedFaults(region);
      assert.equal(faults.length >= patterns.length, true, faults.join("; "));
      for (const [i, pattern] of patterns.entries()) assert.match(faults[i]!, pattern);
      if (patterns.length === 0) assert.deepEqual(faults, []);
      assert.equal(isValid(region), patterns.length === 0);
    });
  }

  test("of many crossings three are named and the rest counted", () => {
    const zigzag = ring(
      ...Array.from({ length: 11 }, (_, i) => [i * 10, i % 2 === 0 ? 0 : 10] as const),
      [100, 5],
      [0, 5.5],
    );
    const faults = namedFaults({ outline: zigzag, holes: [] });
    assert.equal(faults.length, 4);
    assert.match(faults[3]!, /and in \d+ more places/);
  });

  test("a disc with a disc cut out is valid, wherever it lies", () => {
    for (const far of [0, 1e6, -1e9]) {
      assert.ok(isValid({ outline: discOf(300, 100, far, far), holes: [discOf(80, 30, far + 20, far)] }));
    }
  });
});
