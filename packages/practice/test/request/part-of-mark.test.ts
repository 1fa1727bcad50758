import assert from "node:assert/strict";
import { test } from "node:test";
import { chartRegions, isOnOtherSide, partOfMark } from "../../src/request/body.ts";

const at = (words: string) => {
  const region = chartRegions().find((one) => one.words === words);
  assert.ok(region, words);
  return region;
};

test("a mark names the part and the side that its words name", () => {
  assert.deepEqual(partOfMark(at("left lower leg, from the front")), { part: "lower leg", side: "left" });
  assert.deepEqual(partOfMark(at("right palm")), { part: "palm", side: "right" });
  assert.deepEqual(partOfMark(at("back of the left hand")), { part: "back of the hand", side: "left" });
  assert.deepEqual(partOfMark(at("face, right side")), { part: "face", side: "right" });
  assert.deepEqual(partOfMark(at("head, from the front")), { part: "head", side: "none" });
  assert.equal(partOfMark({ chart: "front", x: 0.02, y: 0.95 }), null);
});

test("left for right is seen, no side is no contradiction", () => {
  const mark = at("left heel, from the back");
  assert.equal(isOnOtherSide(mark, "right"), true);
  for (const side of ["left", "both", "none"] as const) assert.equal(isOnOtherSide(mark, side), false);
});
