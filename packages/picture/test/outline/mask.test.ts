import assert from "node:assert/strict";
import { test } from "node:test";
import { seededRandom } from "@samescale/geometry";
import { depthInside, fillHoles, partAt, squaredDistances } from "../../src/outline/mask.ts";

const grid = { width: 23, height: 17 };
const speckles = (seed: number, share: number) => {
  const random = seededRandom(seed);
  return Uint8Array.from({ length: grid.width * grid.height }, () => (random() < share ? 1 : 0));
};

/** From rows of "#" and "." */
function drawn(...rows: string[]) {
  const mask = Uint8Array.from(rows.join(""), (c) => (c === "#" ? 1 : 0));
  return { mask, grid: { width: rows[0]!.length, height: rows.length } };
}

test("distances equal those measured pair by pair (20 seeds)", () => {
  for (let seed = 1; seed <= 20; seed++) {
    const mask = speckles(seed, 0.05);
    const fast = Float64Array.from(mask, (v) => (v ? 0 : 1e12));
    squaredDistances(fast, grid);
    for (let i = 0; i < mask.length; i++) {
      let nearest = 1e12;
      for (let j = 0; j < mask.length; j++) {
        if (!mask[j]) continue;
        const dx = (i % grid.width) - (j % grid.width);
        const dy = Math.floor(i / grid.width) - Math.floor(j / grid.width);
        nearest = Math.min(nearest, dx * dx + dy * dy);
      }
      if (nearest < 1e12) assert.equal(fast[i], nearest, `seed ${seed}, cell ${i}`);
    }
  }
});

test("depth counts from the nearest cell that is not inside", () => {
  const { mask, grid: g } = drawn(".......", ".#####.", ".#####.", ".#####.", ".......");
  const depth = depthInside(mask, g);
  assert.equal(depth[2 * 7 + 3], 2);
  assert.equal(depth[1 * 7 + 1], 1);
  assert.equal(depth[0], 0);
});

test("holes are filled, save those that hold a place said to be outside", () => {
  const { mask, grid: g } = drawn("........", ".######.", ".#.##.#.", ".######.", "........");
  assert.equal(
    fillHoles(mask, g).reduce((a, b) => a + b, 0),
    18,
  );
  const kept = fillHoles(mask, g, [2 * 8 + 5]);
  assert.equal(kept[2 * 8 + 2], 1);
  assert.equal(kept[2 * 8 + 5], 0);
});

test("the part at a place is the one nearest to it, and none where none is near", () => {
  const { mask, grid: g } = drawn("##.....#", "##.....#", "........");
  const part = partAt(mask, g, 6.5, 0.5, 2);
  assert.deepEqual(
    [...part!].flatMap((v, i) => (v ? [i] : [])),
    [7, 15],
  );
  assert.equal(partAt(mask, g, 4.5, 2.5, 1), null);
});
