import assert from "node:assert/strict";
import { test } from "node:test";
import { chartRegions, sayMark } from "../../src/request/body.ts";

test("every region's own mark is said by the region's own words, and each word is there once for its chart", () => {
  const regions = chartRegions();
  for (const { words, ...mark } of regions) assert.equal(sayMark(mark), words);
  const names = regions.map(({ chart, words }) => `${chart} ${words}`);
  assert.equal(new Set(names).size, names.length);
  for (const words of [
    "left lower leg, from the front",
    "right palm",
    "chest, from the front",
    "left heel, from the back",
  ]) {
    assert.ok(
      regions.some((region) => region.words === words),
      words,
    );
  }
});
