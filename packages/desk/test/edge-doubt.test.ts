import assert from "node:assert/strict";
import { test } from "node:test";
import { edgeDoubt } from "../src/measure/edge-doubt.ts";

const square = (edgeUPx?: number) => ({
  outline: [
    [0, 0],
    [100, 0],
    [100, 100],
    [0, 100],
  ] as const,
  holes: [],
  ...(edgeUPx !== undefined && { edgeUPx }),
});

test("an edge known to 2 px round a square of 100 px moves its area by 8 %: that may be measured", () => {
  assert.equal(edgeDoubt([square(2)]), null);
});

test("an edge known to 5 px moves it by 20 %, twice that at 95 %: a person has to draw it", () => {
  assert.match(edgeDoubt([square(2), square(5)]) ?? "", /off by 40 %\. Draw it by hand/);
});

test("an outline that a person drew carries no such doubt", () => {
  assert.equal(edgeDoubt([square()]), null);
});
