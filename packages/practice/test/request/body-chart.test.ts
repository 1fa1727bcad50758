import assert from "node:assert/strict";
import { test } from "node:test";
import { type BodyMark, bodyChart, sayMark } from "../../src/index.ts";

/** Millimetres of the drawing as a mark: crown at 0, soles at 1800, the midline at x = 0. */
function markAt(chart: "front" | "back", xMm: number, yMm: number): BodyMark {
  const { box } = bodyChart(chart);
  return { chart, x: (xMm - box.x) / box.width, y: (yMm - box.y) / box.height };
}

test("left and right are the patient's own: seen from the front they change over, from the back they do not", () => {
  // Common practice, no source: anatomical sides.
  assert.equal(sayMark(markAt("front", -80, 1500)), "right lower leg, from the front");
  assert.equal(sayMark(markAt("front", 80, 1500)), "left lower leg, from the front");
  assert.equal(sayMark(markAt("back", -80, 1500)), "left lower leg, from the back");
  assert.equal(sayMark(markAt("back", 80, 1500)), "right lower leg, from the back");
});

test("zones follow the drawing from crown to sole", () => {
  const front: readonly (readonly [number, number, string])[] = [
    [0, 100, "head"],
    [0, 250, "neck"],
    [150, 320, "left shoulder"],
    [-100, 450, "right chest"],
    [0, 450, "chest"],
    [0, 700, "abdomen"],
    [225, 500, "left upper arm"],
    [-265, 650, "right elbow"],
    [-300, 780, "right forearm"],
    [320, 950, "left hand"],
    [-100, 1100, "right thigh"],
    [80, 1280, "left knee"],
    [60, 1760, "left foot"],
  ];
  for (const [x, y, words] of front) assert.equal(sayMark(markAt("front", x, y)), `${words}, from the front`);
  assert.equal(sayMark(markAt("back", 0, 880)), "right buttock, from the back".replace("right ", ""));
  assert.equal(sayMark(markAt("back", -60, 1280)), "left back of the knee, from the back");
  assert.equal(sayMark(markAt("back", 0, 650)), "lower back, from the back");
});

test("a mark beside the body is said to be that, not given to the nearest part", () => {
  assert.equal(sayMark(markAt("front", 300, 150)), "beside the body, seen from the front");
  assert.equal(sayMark(markAt("back", 300, 1500)), "beside the body, seen from the back");
});

test("hands, feet and head have charts for each side", () => {
  assert.equal(sayMark({ chart: "left-palm", x: 0.5, y: 0.5 }), "left palm");
  assert.equal(sayMark({ chart: "right-sole", x: 0.5, y: 0.5 }), "right sole");
  assert.equal(sayMark({ chart: "head-front", x: 0.9, y: 0.5 }), "face, left side");
  assert.equal(sayMark({ chart: "head-back", x: 0.9, y: 0.5 }), "back of the head, right side");
  assert.equal(sayMark({ chart: "head-front", x: 0.5, y: 0.5 }), "face, middle");
  const [right, left] = [bodyChart("right-palm"), bodyChart("left-palm")];
  assert.ok(Math.abs(right.box.x + right.box.width + left.box.x) < 1e-6, "turned over about the midline");
});
