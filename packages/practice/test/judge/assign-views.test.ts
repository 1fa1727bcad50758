import assert from "node:assert/strict";
import { test } from "node:test";
import fc from "fast-check";
import { assignViews } from "../../src/judge/assign-views.ts";
import { plannedOf, viewOf } from "../support.ts";

const close = plannedOf(viewOf({ key: "close", magnification: 1 / 4 }));
const wide = plannedOf(viewOf({ key: "wide", magnification: 1 / 10 }));
const bare = plannedOf(viewOf({ key: "bare", magnification: 1 / 10, scale: "none" }));
const frame = (magnificationRead: number | null, orientation: "landscape" | "portrait" = "landscape") => ({
  magnificationRead,
  orientation,
});

test("frames made in the order of the plan are laid in that order", () => {
  const { viewOfFrame, missing } = assignViews(
    [frame(0.249), frame(0.101), frame(null)],
    [close, wide, bare],
  );
  assert.deepEqual(viewOfFrame, [0, 1, 2]);
  assert.deepEqual(missing, []);
});

test("a view made twice takes both frames", () => {
  assert.deepEqual(assignViews([frame(0.22), frame(0.25), frame(0.1)], [close, wide]).viewOfFrame, [0, 0, 1]);
});

test("a view at the wrong ratio is still that view, and a view nobody made is missing", () => {
  const { viewOfFrame, missing } = assignViews([frame(0.2)], [close, wide, bare]);
  assert.deepEqual(viewOfFrame, [0]);
  assert.deepEqual(missing, [1, 2]);
});

test("a frame far from every planned ratio is left to a person", () => {
  assert.deepEqual(assignViews([frame(0.25), frame(2)], [close, wide]).viewOfFrame, [0, null]);
});

test("no frames: every view is missing; no views: every frame is left over", () => {
  assert.deepEqual(assignViews([], [close, wide]), { viewOfFrame: [], missing: [0, 1] });
  assert.deepEqual(assignViews([frame(0.1)], []), { viewOfFrame: [null], missing: [] });
});

test("views never cross: the order of frames is the order of the plan", () => {
  const magnifications = fc.array(fc.option(fc.double({ min: 0.02, max: 1, noNaN: true }), { nil: null }), {
    maxLength: 8,
  });
  fc.assert(
    fc.property(magnifications, (read) => {
      const laid = assignViews(
        read.map((m) => frame(m)),
        [close, wide, bare],
      ).viewOfFrame.filter((v) => v !== null);
      assert.deepEqual(
        laid,
        laid.toSorted((a, b) => a - b),
      );
    }),
  );
});
