import assert from "node:assert/strict";
import { test } from "node:test";
import type { XY } from "../../src/answers.ts";
import { contoursOf, ringsAsRegions, signedArea } from "../../src/outline/contour.ts";

/** Share inside each pixel, from a signed distance (negative inside) turned into a ramp two pixels wide. */
function shareFrom(width: number, height: number, distance: (x: number, y: number) => number) {
  const values = Float32Array.from({ length: width * height }, (_, i) => {
    const d = distance((i % width) + 0.5, Math.floor(i / width) + 0.5);
    return Math.max(0, Math.min(1, 0.5 - d / 2));
  });
  return { width, height, values };
}

test("a disc's outline encloses its area and keeps its radius", () => {
  const rings = contoursOf(shareFrom(100, 90, (x, y) => Math.hypot(x - 47.3, y - 41.8) - 30));
  assert.equal(rings.length, 1);
  // Clockwise as seen, so positive with y down. A chord per pixel of a 30 px circle loses less than 0.1 %.
  assert.ok(Math.abs(signedArea(rings[0]!) / (Math.PI * 900) - 1) < 0.002);
  for (const [x, y] of rings[0]!) assert.ok(Math.abs(Math.hypot(x - 47.3, y - 41.8) - 30) < 0.05);
});

test("a ring with an island in its hole comes as two regions, one with a hole", () => {
  const share = shareFrom(120, 120, (x, y) => {
    const r = Math.hypot(x - 60, y - 60);
    return Math.min(Math.max(r - 50, 30 - r), r - 10);
  });
  const regions = ringsAsRegions(contoursOf(share));
  assert.deepEqual(
    regions.map((r) => r.holes.length),
    [1, 0],
  );
  assert.ok(Math.abs(signedArea(regions[0]!.holes[0]!) / (-Math.PI * 900) - 1) < 0.005);
});

test("an outline along the border of the picture runs on the border", () => {
  const share = shareFrom(20, 10, () => -5);
  const [ring] = contoursOf(share);
  // The corners are cut by half a pixel each way: an eighth of a pixel at each of the four.
  assert.ok(Math.abs(signedArea(ring!) - (200 - 0.5)) < 0.01);
  const xs = ring!.map(([x]) => x);
  assert.deepEqual([Math.min(...xs), Math.max(...xs)], [0, 20]);
});

test("cells of a mask that share only a corner stay apart", () => {
  const values = new Float32Array(36);
  values[2 * 6 + 2] = 1;
  values[3 * 6 + 3] = 1;
  const rings: XY[][] = contoursOf({ width: 6, height: 6, values });
  assert.equal(rings.length, 2);
});
