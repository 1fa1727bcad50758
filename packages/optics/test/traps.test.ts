import assert from "node:assert/strict";
import { test } from "node:test";
import fc from "fast-check";
import { type TrapSetup, trapsOf } from "../src/index.ts";
import { magnification } from "./arbitraries.ts";

const KNOWN: TrapSetup = {
  magnification: 0.25,
  pupilRatio: 1,
  focusing: "extension",
  fNumberShown: "marked",
  guideNumberUsed: false,
};

const traps = (setup: Partial<TrapSetup>) => trapsOf({ ...KNOWN, ...setup }).map((warning) => warning.trap);

test("a lens of which everything is known brings no warning, at any ratio", () => {
  fc.assert(fc.property(magnification, (m) => traps({ magnification: m }).length === 0));
});

test("internal focusing warns close up, and also when nobody said how the lens focuses", () => {
  assert.deepEqual(traps({ focusing: "internal" }), ["internal-focusing"]);
  assert.deepEqual(traps({ focusing: "unknown" }), ["internal-focusing"]);
  assert.deepEqual(traps({ focusing: "internal", magnification: 1 / 50 }), [], "too far away to matter");
});

test("the effective f-number warns where counting it twice would change the setting, and names the stops", () => {
  assert.deepEqual(traps({ fNumberShown: "unknown" }), ["effective-f-number"]);
  assert.deepEqual(traps({ fNumberShown: "unknown", magnification: 1 / 50 }), []);
  assert.deepEqual(traps({ fNumberShown: "effective" }), [], "known, so converted");
  const [warning] = trapsOf({ ...KNOWN, magnification: 1, fNumberShown: "unknown" });
  assert.match(warning?.says ?? "", /2\.0 stops apart at 1:1/);
});

test("a pupil ratio below 1 warns with the stops that the simple formula misses; above 1 it does not", () => {
  const [warning] = trapsOf({ ...KNOWN, magnification: 1, pupilRatio: 0.8 });
  // 2 log2(2.25) = 2.34 against 2.00 stops, the trade notes' value (computed).
  assert.match(warning?.says ?? "", /light loss is 2\.3 stops, 0\.3 more/);
  assert.deepEqual(traps({ magnification: 1, pupilRatio: 1.4 }), []);
  assert.deepEqual(traps({ magnification: 0.01, pupilRatio: 0.8 }), [], "too little to change a setting");
});

test("an unknown pupil ratio warns only where it could cost a third of a stop", () => {
  assert.deepEqual(traps({ pupilRatio: null, magnification: 1 }), ["pupil-ratio"]);
  assert.deepEqual(traps({ pupilRatio: null, magnification: 0.1 }), []);
});

test("a guide number brings its own caution", () => {
  assert.deepEqual(traps({ guideNumberUsed: true }), ["guide-number"]);
});
