import assert from "node:assert/strict";
import { test } from "node:test";
import type { Matrix3 } from "../../src/answers.ts";
import { warp } from "../../src/render/window.ts";

/** A picture whose red is its column and whose green is its row. */
function ramp(widthPx: number, heightPx: number) {
  const rgb = new Uint8Array(widthPx * heightPx * 3);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      rgb[(y * widthPx + x) * 3] = x;
      rgb[(y * widthPx + x) * 3 + 1] = y;
    }
  }
  return { widthPx, heightPx, rgb };
}

test("a shift by whole pixels moves the picture by exactly that", () => {
  const shift: Matrix3 = [
    [1, 0, 20],
    [0, 1, 10],
    [0, 0, 1],
  ];
  const { rgb, covered } = warp(ramp(100, 80), { windowToPicture: shift, widthPx: 8, heightPx: 4 });
  assert.equal(covered, 1);
  assert.deepEqual([...rgb.slice(0, 2)], [20, 10]);
  assert.deepEqual([...rgb.slice(3 * (3 * 8 + 5), 3 * (3 * 8 + 5) + 2)], [25, 13]);
});

test("turning a mirrored view back puts the first column last", () => {
  const mirror: Matrix3 = [
    [-1, 0, 100],
    [0, 1, 0],
    [0, 0, 1],
  ];
  const { rgb } = warp(ramp(100, 10), { windowToPicture: mirror, widthPx: 100, heightPx: 10 });
  assert.equal(rgb[3 * 30], 69);
});

test("reducing averages: no half-pixel shift", () => {
  const reduce: Matrix3 = [
    [4, 0, 0],
    [0, 4, 0],
    [0, 0, 1],
  ];
  const { rgb } = warp(ramp(200, 40), { windowToPicture: reduce, widthPx: 50, heightPx: 10 });
  // The window's pixel 10 covers columns 40 to 43, whose mean is 41.5.
  assert.ok(Math.abs((rgb[3 * (2 * 50 + 10)] as number) - 41.5) <= 0.5);
});

test("what lies outside the picture is mid grey and counted", () => {
  const away: Matrix3 = [
    [1, 0, -50],
    [0, 1, 0],
    [0, 0, 1],
  ];
  const { rgb, covered } = warp(ramp(100, 100), { windowToPicture: away, widthPx: 100, heightPx: 50 });
  assert.equal(rgb[0], 128);
  assert.ok(covered > 0.48 && covered < 0.51, String(covered));
});
