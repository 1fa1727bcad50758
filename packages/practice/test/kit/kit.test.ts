import assert from "node:assert/strict";
import { test } from "node:test";
import { changeItem } from "../../src/kit/change-item.ts";
import { frontOffset } from "../../src/kit/front-offset.ts";
import { frontToSubjectMm } from "../../src/kit/lens-distances.ts";
import { toDoOn, whyUnusable } from "../../src/kit/state.ts";
import { readPractice } from "../../src/read/practice.ts";
import { practiceOf, practiceTexts } from "../support.ts";

const faultsOf = (from: string, to: string) => readPractice(practiceTexts([[from, to]])).faults;

test("each wrong field of the register is named with its line", () => {
  const wrong: [string, string, RegExp][] = [
    ["focalMm: 100", "focalMm: 0", /^kit\.yaml, line 7, lenses\[1\]\.focalMm: /],
    ["sensor: 36x24", "sensor: wide", /bodies\[1\]\.sensor: Expected a sensor size/],
    ["greatestRatio: 1:4", "greatestRatio: 4", /lenses\[3\]\.greatestRatio: .*1:4 for smaller/],
    ["fNumbers: { least: 2.8, most: 32 }", "fNumbers: { least: 32, most: 2.8 }", /least f-number lies above/],
    ["id: m60", "id: m100", /m100 is there twice/],
    [
      "name: Ring, kind: ring, guideNumberM: 12",
      "name: Ring, kind: ring, guideNumberM: null",
      /needs its guide number/,
    ],
    ["name: Full,", "name: Full, dueOn: 2026-02-30,", /a day that exists/],
    ["name: Full,", "name: Full, wheels: 4,", /wheels/],
  ];
  for (const [from, to, says] of wrong) {
    const faults = faultsOf(from, to);
    assert.equal(faults.length, 1, `${to}: ${faults.join("; ")}`);
    assert.match(faults[0]!, says);
  }
});

test("a battery that fits nothing of the register is refused", () => {
  assert.match(
    faultsOf("flashes:\n", "batteries: [{ id: b, name: B, fits: [nothing] }]\nflashes:\n")[0]!,
    /nothing in the register is named nothing/,
  );
});

test("what is broken, away or used up cannot be used; what is not charged, dirty or due is to be done", () => {
  const { kit } = practiceOf([
    ["name: Full,", "name: Full, charged: false, clean: false, dueOn: 2026-05-01,"],
  ]);
  const body = kit.bodies[0]!;
  assert.equal(whyUnusable(body), null);
  assert.deepEqual(toDoOn(body, "2026-04-30"), ["charge it", "clean it"]);
  assert.equal(toDoOn(body, "2026-05-01").length, 3);
  assert.match(whyUnusable({ ...body, count: 0 })!, /run out/);
});

test("changing one thing leaves every other character of the register alone", () => {
  const text =
    '# ours\nversion: 1\nlenses: # two\n  - id: a # first\n    name: "A"\n    ratiosMarked: ["1:1"]\n  - { id: b, name: B }\n# end\n';
  assert.equal(
    changeItem(text, "b", { broken: "dropped: badly" }),
    text.replace("name: B }", 'name: B, broken: "dropped: badly" }'),
  );
  const a = changeItem(text, "a", { where: "ward" })!;
  assert.match(a, /^# ours\nversion: 1\nlenses: # two\n {2}- id: a # first\n {4}name: "A"\n/);
  assert.match(a, /\n {4}where: ward\n {2}- \{ id: b, name: B \}\n# end\n$/);
  assert.equal(changeItem(text, "none", { where: "ward" }), null);
  const back = changeItem(changeItem(text, "b", { away: "lent" })!, "b", { away: null })!;
  assert.equal(back, text);
});

test("focal length in force and front offset come out of distances made from them", () => {
  // w = f(1 + 1/m) - front (Ray 2002): f 100 mm and 140 mm give 160 mm at 1:2, 360 mm at 1:4, 960 mm at 1:10
  const measured = [
    [0.5, 160],
    [0.25, 360],
    [0.1, 960],
  ].map(([magnification, mm]) => ({ magnification: magnification!, frontToSubjectMm: mm! }));
  const offset = frontOffset(100, measured);
  assert.ok(Math.abs(offset.focalInForceMm - 100) < 1e-9);
  assert.ok(Math.abs(offset.frontMm - 140) < 1e-6);
  assert.ok(offset.worstMm! < 1e-6);
  assert.match(frontOffset(100, [measured[0]!]).says, /second ratio/);
  assert.match(frontOffset(125, measured).says, /focuses internally: 100 mm are in force/);
});

test("distances that no lens has are refused in words", () => {
  const at = (...pairs: [number, number][]) =>
    pairs.map(([magnification, frontToSubjectMm]) => ({ magnification, frontToSubjectMm }));
  assert.throws(() => frontOffset(100, []), { code: "KIT_MEASUREMENT" });
  assert.throws(() => frontOffset(100, at([0.5, 900], [0.25, 300])), { code: "KIT_MEASUREMENT" });
  assert.throws(() => frontOffset(100, at([0.5, 10], [0.25, 5000])), /focal length/);
});

test("between measured ratios the distance lies on a straight line in 1/m, and far beyond them nothing is said", () => {
  const lens = practiceOf([
    [
      "greatestRatio: 1:1, closestMm: 300,",
      "greatestRatio: 1:1, closestMm: 300, measured: [{ ratio: 1:2, frontToSubjectMm: 160 }, { ratio: 1:10, frontToSubjectMm: 960 }],",
    ],
  ]).kit.lenses[0]!;
  assert.equal(frontToSubjectMm(lens, 0.25), 360);
  assert.equal(frontToSubjectMm(lens, 0.5), 160);
  assert.equal(frontToSubjectMm(lens, 1), null);
  assert.equal(frontToSubjectMm(lens, 1 / 40), null);
  assert.equal(frontToSubjectMm(practiceOf().kit.lenses[0]!, 0.25), null);
});
