import assert from "node:assert/strict";
import { test } from "node:test";
import type { LookAnswer, ScaleAnswer } from "@samescale/picture";
import type { Verdict } from "@samescale/practice";
import type { SeenFrame } from "../../src/bedside/see-frame.ts";
import { BedsideSession } from "../../src/bedside/session.ts";
import type { WatchedView } from "../../src/bedside/watched-view.ts";

const viewAt = (key: string, magnification: number): WatchedView => ({
  magnification,
  focalMm: 100,
  objectDistanceMm: 100 * (1 + 1 / magnification),
  view: {
    key,
    name: key,
    scale: "straight",
    lens: "clinical",
    orientation: "landscape",
    mirrored: false,
    chart: "none",
  },
});
const VIEWS = [viewAt("close-up", 0.25), viewAt("location", 0.1)];

function frame(ratio: number | null, more: Partial<SeenFrame> = {}): SeenFrame {
  const size = { file: "f.jpg", widthPx: 600, heightPx: 400 };
  const scale =
    ratio === null
      ? { ...size, found: false, reason: "no ruled edge" }
      : {
          ...size,
          found: true,
          scales: [],
          plane: null,
          reproductionRatio: { value: ratio, u95: 0.001 },
          warnings: [],
        };
  return {
    scale: scale as unknown as ScaleAnswer,
    look: {} as LookAnswer,
    label: null,
    takenAt: null,
    camera: "one",
    ...more,
  };
}
const label = (requestCode: string): SeenFrame =>
  frame(null, { label: { requestCode, patientNumber: "HN1" } });

let arrived = 0;
const order = (takenAt: string | null = null) => ({
  takenAt,
  writtenMs: Date.parse("2026-05-04T12:00:00Z"),
  arrivedMs: arrived++,
  name: "f.jpg",
});
const keep: Verdict = { verdict: "keep", say: "", findings: [], notJudged: [] };
const repeat: Verdict = { ...keep, verdict: "repeat" };

test("frames are laid along the plan, and what is missing is counted by the verdicts", () => {
  const session = new BedsideSession(VIEWS, "R-1");
  assert.equal(session.next?.view.key, "close-up");
  const first = session.add("a", order(), frame(0.27));
  assert.ok(first.kind === "view" && first.planned.view.key === "close-up");
  session.judged("a", repeat);
  assert.deepEqual(session.missing, ["close-up", "location"]);
  session.add("b", order(), frame(0.25));
  session.judged("b", keep);
  assert.deepEqual(session.missing, ["location"]);
  assert.equal(session.next?.view.key, "location");
  session.add("c", order(), frame(0.1));
  session.judged("c", keep);
  assert.deepEqual(session.missing, []);
});

test("a deleted frame is no view made", () => {
  const session = new BedsideSession(VIEWS, "R-1");
  session.add("a", order(), frame(0.25));
  session.judged("a", keep);
  session.remove("a");
  assert.deepEqual(session.missing, ["close-up", "location"]);
});

test("a frame that fits no view is said, two that fit the same are both that view", () => {
  const session = new BedsideSession(VIEWS, "R-1");
  assert.equal(session.add("a", order(), frame(2)).kind, "no-view");
  for (const id of ["b", "c"]) {
    const standing = session.add(id, order(), frame(0.25));
    assert.ok(standing.kind === "view" && standing.planned.view.key === "close-up");
  }
});

test("the label opens the session; frames behind another's label are another's", () => {
  const session = new BedsideSession(VIEWS, "R-1");
  assert.deepEqual(session.add("a", order(), label("R-1")), {
    kind: "label",
    label: { requestCode: "R-1", patientNumber: "HN1" },
    ours: true,
  });
  assert.equal(session.labelSeen, true);
  const made = new BedsideSession(VIEWS, "R-1").add("x", order(), frame(0.25));
  assert.ok(made.kind === "view");
  assert.deepEqual(made.notes, ["label: none of R-1 has been seen yet"]);
  assert.equal(session.add("b", order(), frame(0.25)).kind, "view");
  const other = session.add("c", order(), label("R-2"));
  assert.ok(other.kind === "label" && !other.ours);
  assert.deepEqual(session.add("d", order(), frame(0.1)), { kind: "stranger", requestCode: "R-2" });
  session.add("e", order(), label("R-1"));
  assert.equal(session.add("f", order(), frame(0.1)).kind, "view");
});

test("a burst judged newest first is laid by the camera's clock, not by the order of judging", () => {
  const session = new BedsideSession(VIEWS, "R-1");
  session.add("b", order("2026-05-04T10:00:20"), frame(null));
  session.add("a", order("2026-05-04T10:00:00"), frame(0.25));
  session.judged("a", keep);
  session.judged("b", keep);
  // The later frame told no ratio: behind the close-up it may be a second one or the next view, never one before it.
  session.add("c", order("2026-05-04T10:00:30"), frame(0.1));
  session.judged("c", keep);
  assert.deepEqual(session.missing, []);
});

test("a clock that one frame does not have is not gone by", () => {
  const session = new BedsideSession(VIEWS, "R-1");
  session.add("a", order("2031-01-01T00:00:00"), frame(0.25));
  const second = session.add("b", order(), frame(0.1));
  assert.ok(second.kind === "view" && second.planned.view.key === "location");
});

test("a clock that was never set or runs in the future is said, and frames are taken as they arrived", () => {
  const session = new BedsideSession(VIEWS, "R-1");
  session.add("a", order("2026-05-04T10:00:00"), frame(0.25));
  for (const [id, clock] of [
    ["b", "1980-01-01T00:00:00"],
    ["c", "2031-05-04T10:00:00"],
  ] as const) {
    const standing = session.add(id, order(clock), frame(0.1));
    assert.ok(standing.kind === "view" && standing.planned.view.key === "location");
    assert.match(standing.notes.join(" "), /clock: the camera says (1980|2031)/);
  }
});

test("a frame of another camera is said, and judged all the same", () => {
  const session = new BedsideSession(VIEWS, "R-1");
  session.add("a", order(), frame(0.25));
  const other = session.add("b", order(), frame(0.1, { camera: "two" }));
  assert.ok(other.kind === "view");
  assert.match(other.notes.join(" "), /another one than that of the frames before/);
});

test("against one stated ratio every frame is held, labels too are named", () => {
  const session = new BedsideSession([VIEWS[0]!], null);
  const far = session.add("a", order(), frame(2));
  assert.ok(far.kind === "view");
  assert.equal(session.add("b", order(), label("R-9")).kind, "label");
});

test("five hundred frames are laid in a moment", () => {
  const session = new BedsideSession(VIEWS, "R-1");
  session.add("label", order(), label("R-1"));
  const began = performance.now();
  for (let i = 0; i < 500; i++) {
    session.add(`f${i}`, order(), frame(i < 250 ? 0.25 : 0.1));
    session.judged(`f${i}`, keep);
    session.missing.at(0);
  }
  assert.deepEqual(session.missing, []);
  // Ten milliseconds a frame are nothing beside its reading, a second; growing with the square it would be minutes.
  assert.ok(performance.now() - began < 5_000);
});
