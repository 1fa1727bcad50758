import assert from "node:assert/strict";
import { test } from "node:test";
import type { FrameLook, FrameReading, FrameSeen } from "../../src/judge/frame-seen.ts";
import { judgeFrame } from "../../src/judge/judge-frame.ts";
import type { View } from "../../src/views/view.ts";
import { plannedOf, practiceOf, viewOf } from "../support.ts";

const { tolerances } = practiceOf();
const reading: FrameReading = {
  reproductionRatio: { value: 0.25, u95: 0.0005 },
  leanDeg: { value: 1, u95: 1 },
  notFoundReason: null,
  widthPx: 6000,
  heightPx: 4000,
  warnings: [],
};
/** 24 MP on 36 x 24 mm: 6 µm a pixel, so 0.06 mm are 10 px. */
const sharp = { judged: true, blurPx: { value: 4, u95: 0.5 }, motion: null } as const;
const unsharp = { judged: true, blurPx: { value: 24, u95: 2 }, motion: null } as const;
const fine: FrameLook = {
  subject: {
    judged: true,
    fillsFrame: false,
    runsOut: { left: 0, top: 0, right: 0, bottom: 0 },
    offCentre: { x: 0.02, y: -0.01 },
    distinctness: 0.8,
  },
  focus: { subject: sharp, scale: sharp },
  exposure: {
    judged: true,
    luminance: 0.3,
    burntOut: { share: 0.001, glareShare: 0.001 },
    blocked: 0,
    stops: { judged: true, value: 0.1, u95: 0.2, isAtLeast: false },
  },
  backdrop: { judged: true, unevennessStops: 0.2, creases: 0.01, shadowStops: 0 },
  light: { judged: false, why: "even light" },
  roll: { judged: false, why: "no scale" },
};

function judge(look: Partial<FrameLook>, more: Partial<FrameSeen> = {}, view: Partial<View> = {}) {
  const seen = { reading, look: { ...fine, ...look }, ...more };
  return judgeFrame({
    planned: plannedOf(viewOf({ bordersCrossed: 0, ...view })),
    seen,
    tolerances,
    series: true,
  });
}

test("a sound frame is kept, and nothing is left unjudged", () => {
  assert.deepEqual(judge({}), {
    verdict: "keep",
    say: "Keep: the ratio is as planned.",
    findings: [],
    notJudged: [],
  });
});

test("an unsharp frame is a repeat; with a sharp scale the sentence says what was focused on", () => {
  assert.equal(
    judge({ focus: { subject: unsharp, scale: unsharp } }).say,
    "It is not sharp: focus on the subject.",
  );
  const scaleOnly = judge({ focus: { subject: unsharp, scale: sharp } });
  assert.equal(scaleOnly.verdict, "repeat");
  assert.equal(scaleOnly.say, "Only the scale is sharp: focus on the subject.");
  const moved = { ...unsharp, motion: { lengthPx: 30, directionDeg: 0 } };
  assert.match(judge({ focus: { subject: moved, scale: moved } }).say, /moved while the shutter/);
});

test("smooth skin without detail is not called unsharp, and the frame not approved in silence", () => {
  const nothing = { judged: false, why: "nothing on the subject has an edge" } as const;
  const verdict = judge({ focus: { subject: nothing, scale: sharp } });
  assert.equal(verdict.verdict, "keep");
  assert.match(verdict.say, /look at the sharpness yourself/);
  assert.deepEqual(verdict.notJudged, ["focus: nothing on the subject has an edge"]);
});

test("burnt out skin is a repeat, glare on a wet wound is not", () => {
  const exposure = fine.exposure.judged ? fine.exposure : assert.fail();
  const burnt = judge({ exposure: { ...exposure, burntOut: { share: 0.08, glareShare: 0.01 } } });
  assert.equal(burnt.verdict, "repeat");
  assert.equal(burnt.say, "Less light: 7 % of the subject is burnt out.");
  assert.equal(
    judge({ exposure: { ...exposure, burntOut: { share: 0.03, glareShare: 0.03 } } }).verdict,
    "keep",
  );
});

test("a burnt out white of the scale is noted; how much too bright it is the baseline's skin tells", () => {
  const exposure = fine.exposure.judged ? fine.exposure : assert.fail();
  const stops = { judged: true, value: 0.3, u95: 0.6, isAtLeast: true } as const;
  const burnt = { exposure: { ...exposure, stops } };
  const noted = judge(burnt);
  assert.equal(noted.verdict, "keep");
  assert.deepEqual(noted.findings, [{ what: "exposure", stops: 0.3 }]);
  const baseline = {
    judged: true,
    turnedDeg: 0,
    aimedOff: { x: 0, y: 0 },
    seenFromDeg: null,
    lightTurnedDeg: null,
    brighterStops: 1.6,
  } as const;
  const told = judge(burnt, { baseline });
  assert.equal(told.say, "Less light by 1.6 stops to match the baseline.");
});

test("two stops too dark is a repeat with the amount; without a reference it is said as not judged", () => {
  const exposure = fine.exposure.judged ? fine.exposure : assert.fail();
  const dark = judge({
    exposure: { ...exposure, stops: { judged: true, value: -2, u95: 0.3, isAtLeast: false } },
  });
  assert.equal(dark.verdict, "repeat");
  assert.equal(dark.say, "More light by 2.0 stops.");
  const unknown = judge({ exposure: { ...exposure, stops: { judged: false, why: "no white" } } });
  assert.equal(unknown.verdict, "keep");
  assert.deepEqual(unknown.notJudged, ["exposure in stops: no white"]);
});

test("a hand that is cut off is a repeat and says where; a limb may cross two borders", () => {
  const subject = fine.subject.judged ? fine.subject : assert.fail();
  const cut = { ...subject, runsOut: { left: 0.2, top: 0, right: 0.3, bottom: 0 } };
  const hand = judge({ subject: cut });
  assert.equal(hand.verdict, "repeat");
  assert.match(hand.say, /cut off at the left and right/);
  assert.equal(judge({ subject: cut }, {}, { bordersCrossed: 2 }).verdict, "keep");
  assert.equal(judge({ subject: cut }, {}, { bordersCrossed: undefined }).verdict, "keep");
});

test("a subject right of the middle asks for an aim further right", () => {
  const subject = fine.subject.judged ? fine.subject : assert.fail();
  const verdict = judge({ subject: { ...subject, offCentre: { x: 0.2, y: 0 } } });
  assert.equal(verdict.verdict, "your-choice");
  assert.equal(verdict.say, "Aim further right by 20 % of the frame.");
});

test("ratio and lean are one movement of the hand, one sentence", () => {
  const off = { ...reading, reproductionRatio: { value: 0.27, u95: 0.0005 }, leanDeg: { value: 12, u95: 1 } };
  // u is 500 mm at 1:4 and 470.4 mm at 0.27 with 100 mm: 3 cm
  const verdict = judge({}, { reading: { ...off, recedesDeg: 0 } });
  assert.equal(
    verdict.say,
    "Move 3 cm back, and swing the camera round the subject by 12° to the right, aiming at the same spot.",
  );
  assert.deepEqual(
    verdict.findings.map(({ what }) => what),
    ["ratio", "lean"],
  );
});

test("each way of leaning has its own way back", () => {
  const say = (recedesDeg: number) =>
    judge({}, { reading: { ...reading, leanDeg: { value: 12, u95: 1 }, recedesDeg } }).say;
  assert.match(say(180), /12° to the left/);
  assert.match(say(90), /12° towards the picture's bottom/);
  assert.match(say(-90), /12° towards the picture's top/);
  assert.match(say(45), /8° to the right and 8° towards the picture's bottom/);
});

test("a mirror view that is not mirrored, and a view that is and should not be", () => {
  assert.match(judge({}, { reading: { ...reading, mirrored: true } }).say, /turned over as in a mirror/);
  assert.equal(judge({}, { reading: { ...reading, mirrored: true } }, { mirrored: true }).verdict, "keep");
});

test("a chart that is missing or burnt out is the photographer's choice", () => {
  assert.match(judge({}, { chart: { judged: false, why: "no chart" } }).say, /not in the frame/);
  const burnt = judge({}, { chart: { judged: true, usable: false, says: "its white is burnt out" } });
  assert.equal(burnt.verdict, "your-choice");
  assert.match(burnt.say, /white is burnt out/);
});

test("creased, shadowed and uneven cloth, in that order", () => {
  const backdrop = { judged: true, unevennessStops: 3, creases: 0.2, shadowStops: 2 } as const;
  assert.match(judge({ backdrop }).say, /creased/);
  assert.match(judge({ backdrop: { ...backdrop, creases: 0 } }).say, /shadow/);
  assert.match(
    judge({ backdrop: { ...backdrop, creases: 0, shadowStops: 0 } }).say,
    /unevenly, by 3\.0 stops/,
  );
});

test("a subject that does not stand out is not judged by its edge, nor a clothed portrait by its backdrop", () => {
  const subject = fine.subject.judged ? fine.subject : assert.fail();
  const cut = { ...subject, runsOut: { left: 0.2, top: 0, right: 0.3, bottom: 0 }, distinctness: 0.3 };
  const backdrop = { judged: true, unevennessStops: 3, creases: 0.2, shadowStops: 2 } as const;
  const verdict = judge({ subject: cut, backdrop });
  assert.equal(verdict.verdict, "keep");
  assert.equal(verdict.notJudged.length, 2);
  assert.equal(judge({ backdrop }, {}, { lens: "portrait" }).verdict, "keep");
});

test("at life size the skin's own softness is no blur", () => {
  // 0.09 mm on the sensor at 1:1 is 0.09 mm of skin; at 1:4 it is 0.36 mm
  const soft = { judged: true, blurPx: { value: 15, u95: 1 }, motion: null } as const;
  const lifeSize = { reproductionRatio: { value: 1, u95: 0.002 } };
  const focus = { subject: soft, scale: sharp };
  assert.equal(
    judge({ focus }, { reading: { ...reading, ...lifeSize } }, { magnification: 1 }).verdict,
    "keep",
  );
  assert.equal(judge({ focus }).verdict, "repeat");
});

test("against the baseline: turned, aimed beside, lit from another side, brighter", () => {
  const same = {
    judged: true,
    turnedDeg: 0,
    aimedOff: { x: 0, y: 0 },
    seenFromDeg: null,
    lightTurnedDeg: 0,
    brighterStops: 0,
  } as const;
  const say = (change: object) => judge({}, { baseline: { ...same, ...change } }).say;
  assert.equal(say({ turnedDeg: 9 }), "Turn the camera 9° anticlockwise to match the baseline.");
  assert.equal(
    say({ aimedOff: { x: 0.2, y: 0 } }),
    "Aim further left by 20 % of the frame to match the baseline.",
  );
  assert.match(say({ lightTurnedDeg: -90 }), /another side than at the baseline, by 90°/);
  assert.match(say({ seenFromDeg: { right: 14, below: 0 } }), /from another side, 14° away/);
  const exposure = fine.exposure.judged
    ? { ...fine.exposure, stops: { judged: false, why: "" } as const }
    : assert.fail();
  assert.equal(
    judge({ exposure }, { baseline: { ...same, brighterStops: 1 } }).say,
    "Less light by 1.0 stops to match the baseline.",
  );
  const unlike = judge({}, { baseline: { judged: false, why: "too little in common" } });
  assert.deepEqual(unlike.notJudged, ["against the baseline: too little in common"]);
});

test("what has to be repeated is said before what may stay", () => {
  const verdict = judge(
    { backdrop: { judged: true, unevennessStops: 3, creases: 0.2, shadowStops: 2 } },
    { reading: { ...reading, reproductionRatio: { value: 0.2, u95: 0.001 } } },
  );
  assert.equal(verdict.verdict, "repeat");
  assert.equal(verdict.say, "Move 10 cm closer.");
  assert.deepEqual(
    verdict.findings.map(({ what }) => what),
    ["ratio", "backdrop"],
  );
});

test("a view without a scale is judged by what it shows, and says what it could not judge", () => {
  const bare = { ...reading, reproductionRatio: null, leanDeg: null, notFoundReason: "no scale" };
  const verdict = judge({}, { reading: bare }, { scale: "none" });
  assert.equal(verdict.verdict, "keep");
  assert.match(verdict.say, /without a scale the ratio is not judged/);
  assert.equal(verdict.notJudged.length, 1);
});
