import assert from "node:assert/strict";
import { test } from "node:test";
import { readScale } from "../../src/scale/read-scale.ts";
import { EIGHTHS, MM, type Ruler, ruler, SIXTEENTHS } from "./drawings.ts";
import { errorPct, found, shoot } from "./reading.ts";

const INCH = 25.4;
const EQUAL: Ruler["classes"] = [[1, 3]];
const shown = (r: Ruler) => shoot(ruler({ bodyMm: 28, ...r }), { centreMm: [45, 6] }, 81);

test("a kind that a person names settles what the graduations leave open, and is recorded as a person's", () => {
  for (const [kind, drawn, warned] of [
    ["inch-8", { pitchMm: INCH / 8, count: 28, classes: EIGHTHS, blotMm: 0 }, false],
    ["mm", { pitchMm: 1, count: 90, classes: EQUAL, blotMm: 0 }, true],
    ["half-mm", { pitchMm: 0.5, count: 160, classes: EQUAL, blotMm: 0 }, true],
    [
      "inch-10",
      {
        pitchMm: 2.54,
        count: 34,
        classes: [
          [10, 6],
          [5, 4.4],
          [1, 3],
        ],
      },
      false,
    ],
  ] as const) {
    const { picture, truth } = shown(drawn);
    const reading = found(picture, { kind });
    const [scale] = reading.scales;
    assert.equal(scale!.unitFrom, "person", kind);
    assert.ok(errorPct(scale!.pxPerMm.value, truth(scale!)) < 0.15, kind);
    assert.equal(reading.warnings.length > 0, warned, `${kind}: ${reading.warnings}`);
  }
});

test("a kind that the graduations contradict is taken with a warning, and the interval holds both", () => {
  for (const [kind, drawn] of [
    ["inch-16", { pitchMm: 1, count: 90, classes: MM }],
    ["mm", { pitchMm: INCH / 16, count: 56, classes: SIXTEENTHS }],
  ] as const) {
    const { picture, truth } = shown(drawn);
    const reading = found(picture, { kind });
    const [scale] = reading.scales;
    assert.match(reading.warnings.join(), /You named .* looks like/);
    assert.ok(Math.abs(scale!.pxPerMm.value - truth(scale!)) <= scale!.pxPerMm.u95, kind);
  }
});

test("a kind named where there is no scale does not make one of skin or paper", () => {
  const blank = shoot(() => 150).picture;
  for (const kind of ["mm", "cm", "blocks-10mm"] as const)
    assert.equal(readScale(blank, { kind }).found, false);
});
