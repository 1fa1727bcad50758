import assert from "node:assert/strict";
import { test } from "node:test";
import type { FrameReading } from "../../src/judge/frame-seen.ts";
import { judgeFrame } from "../../src/judge/judge-frame.ts";
import { plannedOf, practiceOf, viewOf } from "../support.ts";

const { tolerances } = practiceOf();
const reading = (fields: Partial<FrameReading>): FrameReading => ({
  reproductionRatio: { value: 0.25, u95: 0.0005 },
  leanDeg: { value: 1, u95: 1 },
  notFoundReason: null,
  widthPx: 2400,
  heightPx: 1600,
  warnings: [],
  ...fields,
});
const judge = (fields: Partial<FrameReading>, view = viewOf({}), series = true) =>
  judgeFrame({ planned: plannedOf(view), seen: { reading: reading(fields) }, tolerances, series });

test("a frame at its ratio and square is kept", () => {
  const verdict = judge({});
  assert.equal(verdict.verdict, "keep");
  assert.deepEqual(verdict.findings, []);
});

test("1:5 in place of 1:4 with a 100 mm lens: move 100 mm closer, as object distances are 600 and 500 mm", () => {
  // trade-facts 1.3, f = 100 mm: u is 600 mm at 1:5 and 500 mm at 1:4 (computed check table)
  const verdict = judge({ reproductionRatio: { value: 0.2, u95: 0.0005 } });
  assert.equal(verdict.verdict, "repeat");
  assert.equal(verdict.say, "Move 10 cm closer.");
  const [finding] = verdict.findings;
  assert.ok(finding?.what === "ratio" && finding.moveMm !== null);
  assert.ok(Math.abs(finding.moveMm + 100) < 1e-9);
});

test("too close is told as a move back", () => {
  assert.match(judge({ reproductionRatio: { value: 0.3, u95: 0.001 } }).say, /^Move 7 cm back\.$/);
});

test("the series tolerance is the narrower one", () => {
  const off = { reproductionRatio: { value: 0.25 * 1.03, u95: 0.0005 } };
  assert.equal(judge(off, viewOf({}), true).verdict, "repeat");
  assert.equal(judge(off, viewOf({}), false).verdict, "keep");
});

test("a fault within the reading's own uncertainty is the photographer's choice", () => {
  assert.equal(judge({ reproductionRatio: { value: 0.25 * 1.03, u95: 0.25 * 0.02 } }).verdict, "your-choice");
});

test("a lean of 12 degrees is a repeat and names the angle", () => {
  const verdict = judge({ leanDeg: { value: 12.3, u95: 1.5 } });
  assert.equal(verdict.verdict, "repeat");
  assert.match(verdict.say, /leans 12°/);
});

test("no scale where one was planned is never passed over in silence", () => {
  const verdict = judge({
    reproductionRatio: null,
    leanDeg: null,
    notFoundReason: "no ruled edge was found",
  });
  assert.equal(verdict.verdict, "your-choice");
  assert.match(verdict.say, /no ruled edge was found/);
});

test("a view planned without a scale is not judged by one", () => {
  const verdict = judge({ reproductionRatio: null, leanDeg: null }, viewOf({ scale: "none" }));
  assert.equal(verdict.verdict, "not-judged");
});

test("a scale above the skin is told with its height", () => {
  const verdict = judgeFrame({
    planned: plannedOf(viewOf({})),
    seen: {
      reading: reading({}),
      observations: [{ what: "scale-plane", by: "series", heightMm: { value: 11.6, u95: 3 } }],
    },
    tolerances,
    series: true,
  });
  assert.equal(verdict.verdict, "repeat");
  assert.match(verdict.say, /12 mm above/);
});

test("scales that disagree and a lean are told as one thing with two cures", () => {
  const verdict = judgeFrame({
    planned: plannedOf(viewOf({})),
    seen: {
      reading: reading({ leanDeg: { value: 11, u95: 3 } }),
      observations: [{ what: "scale-plane", by: "two-scales", heightMm: { value: 13, u95: 2 } }],
    },
    tolerances,
    series: true,
  });
  assert.deepEqual(
    verdict.findings.map((f) => f.what),
    ["scale-plane", "lean"],
  );
  assert.match(verdict.say, /13 mm higher, or square the camera, it would lean 11°/);
});

test("an upright frame of a lying view asks for a turn of the camera", () => {
  assert.match(judge({ widthPx: 1600, heightPx: 2400 }).say, /this view is landscape/);
});
