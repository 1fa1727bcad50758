import assert from "node:assert/strict";
import { test } from "node:test";
import type { Matrix3 } from "@samescale/geometry";
import { describe } from "../../src/align/describe.ts";

const frame = { widthPx: 1000, heightPx: 800 };
const near = (got: number, want: number, by: number) =>
  assert.ok(Math.abs(got - want) <= by, `${got}, ${want}`);

test("nothing moved: scale 1, no turn, no shift, full overlap", () => {
  const said = describe(
    [
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
    ],
    frame,
    frame,
  );
  const middle = { x: said.middle.x, y: said.middle.y };
  assert.deepEqual(
    { ...said, middle },
    { scaleChange: 1, rotationDeg: 0, shiftFraction: { x: 0, y: 0 }, overlap: 1, middle: { x: 500, y: 400 } },
  );
});

test("a follow-up that shows the subject 25 % larger says 1.25", () => {
  // follow-up → baseline shrinks by 1.25 about the middle
  const h: Matrix3 = [
    [0.8, 0, 100],
    [0, 0.8, 80],
    [0, 0, 1],
  ];
  const said = describe(h, frame, frame);
  near(said.scaleChange, 1.25, 1e-9);
  near(said.shiftFraction.x, 0, 1e-9);
  // it covers the middle 0.8 × 0.8 of the baseline; a grid of 40 counts 32 × 32 cells
  near(said.overlap, 0.64, 1e-9);
});

test("content turned clockwise on the screen counts as positive", () => {
  // follow-up → baseline turns back: anticlockwise by 10° about the middle, y downwards
  const [c, s] = [Math.cos(Math.PI / 18), Math.sin(Math.PI / 18)];
  const h: Matrix3 = [
    [c, s, 500 - 500 * c - 400 * s],
    [-s, c, 400 + 500 * s - 400 * c],
    [0, 0, 1],
  ];
  near(describe(h, frame, frame).rotationDeg, 10, 1e-9);
});

test("content that has slid right and up in the follow-up shifts by +x and -y", () => {
  // follow-up (600, 320) shows what the baseline has at (500, 400)
  const h: Matrix3 = [
    [1, 0, -100],
    [0, 1, 80],
    [0, 0, 1],
  ];
  const said = describe(h, frame, frame);
  near(said.shiftFraction.x, 0.1, 1e-9);
  near(said.shiftFraction.y, -0.1, 1e-9);
  near(said.overlap, 0.9 * 0.9, 1e-9);
});

test("a follow-up file with half the pixels of the same field says 0.5 follow-up px per baseline px", () => {
  const h: Matrix3 = [
    [2, 0, 0],
    [0, 2, 0],
    [0, 0, 1],
  ];
  const said = describe(h, frame, { widthPx: 500, heightPx: 400 });
  near(said.scaleChange, 0.5, 1e-9);
  near(said.overlap, 1, 1e-9);
});
