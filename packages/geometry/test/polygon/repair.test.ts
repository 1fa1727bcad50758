import assert from "node:assert/strict";
import { describe, test } from "node:test";
import fc from "fast-check";
import { areaOf, isValid, type Point, type Region, repair, signedAreaOf } from "../../src/index.ts";
import { within } from "../support/arbitraries.ts";
import { boxOf, starOf } from "../support/shapes.ts";

const ring = (...xy: readonly (readonly [number, number])[]): Point[] => xy.map(([x, y]) => ({ x, y }));
const only = (outline: Region["outline"], ...holes: Region["holes"]): Region => ({ outline, holes });

function mended(region: Region) {
  const result = repair(region);
  assert.ok(result.ok, result.ok ? "" : result.reason);
  return result;
}

describe("repair, asked for", () => {
  test("leaves what is right as it is, and says nothing", () => {
    const region = only(boxOf(0, 0, 50, 50), boxOf(10, 10, 20, 20));
    assert.deepEqual(mended(region), { ok: true, regions: [region], done: [] });
    const turned = only(boxOf(0, 0, 50, 50).toReversed());
    assert.deepEqual(mended(turned).regions, [turned]);
  });

  test("a bow tie becomes two regions that touch", () => {
    const { regions, done } = mended(only(ring([0, 0], [10, 10], [10, 0], [0, 10])));
    assert.deepEqual(regions.map(areaOf), [25, 25]);
    assert.match(done[0]!, /met itself in 1 place: 2 loops kept/);
  });

  test("an edge crossed many times, last place first, is split in its own order", () => {
    // A level edge, and a zigzag back across it: triangles above and below between crossings.
    const zigzag = Array.from({ length: 9 }, (_, i) => [90 - 10 * i, i % 2 === 0 ? 10 : -10] as const);
    const { regions } = mended(only(ring([0, 0], [100, 0], ...zigzag, [0, -10])));
    // Crossings at 85, 75 … 5: a triangle of base 15, eight of base 10, one of base 5, all 10 high.
    const expected = (10 * (15 + 8 * 10 + 5)) / 2;
    const total = regions.reduce((sum, region) => sum + areaOf(region), 0);
    assert.equal(regions.length, 10);
    assert.ok(Math.abs(total - expected) < 1e-9, `${total}`);
  });

  test("a small slip where the line is closed is left out, and said", () => {
    const { regions, done } = mended(only(ring([0, 0], [100, 0], [100, 100], [-2, 100], [-2, 101], [0, 99])));
    assert.equal(regions.length, 1);
    assert.ok(Math.abs(areaOf(regions[0]!) / 10000 - 1) < 0.01);
    assert.match(done[0]!, /1 loop kept, 0\.\d\d % of the largest left out/);
  });

  test("an outline drawn round twice counts once", () => {
    const twice = ring([0, 0], [100, 0], [100, 100], [0, 100], [1, 1], [99, 2], [98, 98], [3, 97]);
    const { regions } = mended(only(twice));
    assert.equal(regions.length, 1);
    assert.ok(areaOf(regions[0]!) > 9500 && areaOf(regions[0]!) <= 10000);
  });

  test("a curl inward does not become a hole", () => {
    // Clockwise box whose right side makes a clockwise loop inside.
    const curl = ring(
      [0, 0],
      [100, 0],
      [100, 60],
      [60, 60],
      [60, 40],
      [90, 40],
      [90, 70],
      [100, 80],
      [100, 100],
      [0, 100],
    );
    const { regions } = mended(only(curl));
    assert.equal(
      regions.reduce((sum, region) => sum + region.holes.length, 0),
      0,
    );
    assert.ok(isValid(regions[0]!));
  });

  test("spikes, repeated points and points that are not numbers go", () => {
    const { regions, done } = mended(
      only([...ring([0, 0], [9, 0], [9, 0], [9, 20], [9, 9], [0, 9]), { x: Number.NaN, y: 3 }]),
    );
    assert.equal(areaOf(regions[0]!), 81);
    assert.match(done.join("; "), /not numbers: 1; .*repeated points dropped: 1; .*met itself/);
  });

  test("a hole outside is dropped and said; a hole across the edge is refused", () => {
    const { regions, done } = mended(only(boxOf(0, 0, 50, 50), boxOf(60, 0, 70, 10), boxOf(5, 5, 9, 9)));
    assert.equal(areaOf(regions[0]!), 2500 - 16);
    assert.match(done[0]!, /hole 1 was dropped: it lies outside/);
    const refused = repair(only(boxOf(0, 0, 50, 50), boxOf(40, 10, 60, 20)));
    assert.ok(!refused.ok && /without guessing: hole 1 crosses the outline/.test(refused.reason));
  });

  test("nothing, a point and a line are refused", () => {
    for (const outline of [[], ring([1, 1]), ring([0, 0], [5, 5]), ring([0, 0], [5, 5], [9, 9])]) {
      const result = repair(only(outline));
      assert.ok(!result.ok && /no area/.test(result.reason));
    }
  });

  test("of any scribble, what comes back is valid or refused; whole numbers and not", () => {
    const coordinates = [fc.integer({ min: 0, max: 6 }), within(0, 1000), within(-1e-6, 1e-6)];
    for (const c of coordinates) {
      let answered = 0;
      fc.assert(
        fc.property(fc.array(fc.record({ x: c, y: c }), { maxLength: 12 }), (outline) => {
          const result = repair(only(outline));
          if (!result.ok) return;
          answered += 1;
          for (const region of result.regions) assert.ok(isValid(region));
        }),
        { seed: 25, numRuns: 500 },
      );
      assert.ok(answered > 150, `${answered} of 500 were mended`);
    }
  });

  test("an outline that was right keeps its area to the last digit", () => {
    fc.assert(
      fc.property(fc.array(within(1, 100), { minLength: 3, maxLength: 60 }), (radii) => {
        const outline = starOf(radii);
        assert.equal(areaOf(mended(only(outline)).regions[0]!), Math.abs(signedAreaOf(outline)));
      }),
      { seed: 26 },
    );
  });
});
