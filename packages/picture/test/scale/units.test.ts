import assert from "node:assert/strict";
import { test } from "node:test";
import { readScale } from "../../src/scale/read-scale.ts";
import { EIGHTHS, HALF_MM, MM, type Ruler, ruler, SIXTEENTHS, THIRTY_SECONDS } from "./drawings.ts";
import { errorPct, found, type Shown, shoot } from "./reading.ts";

const INCH = 25.4;
/** px/mm of a fitted lattice of a hundred bars is known far better; the truth is exact. */
const MOST_ERROR_PCT = 0.15;

/** Every scale in the answer must be right, as no warning excuses it. */
function allRight({ picture, truth }: Shown, unit: string): void {
  const reading = found(picture);
  assert.deepEqual(reading.warnings, []);
  for (const scale of reading.scales) {
    assert.equal(scale.unit, unit);
    const error = errorPct(scale.pxPerMm.value, truth(scale));
    assert.ok(error < MOST_ERROR_PCT, `${error} % off`);
  }
}

const divisions: [name: string, unit: string, ruler: Ruler, pxPerMm: number][] = [
  ["millimetres", "mm", { pitchMm: 1, count: 90, classes: MM }, 8],
  ["half millimetres", "mm", { pitchMm: 0.5, count: 160, classes: HALF_MM }, 9],
  ["sixteenths of an inch", "inch", { pitchMm: INCH / 16, count: 64, classes: SIXTEENTHS, bodyMm: 28 }, 7],
  [
    "thirty-seconds of an inch",
    "inch",
    { pitchMm: INCH / 32, count: 128, classes: THIRTY_SECONDS, bodyMm: 28 },
    8,
  ],
  [
    "millimetres of which only the tens are longer",
    "mm",
    {
      pitchMm: 1,
      count: 90,
      classes: [
        [10, 5],
        [1, 3],
      ],
    },
    8,
  ],
];

for (const [name, unit, drawn, pxPerMm] of divisions) {
  test(`${name} are read as such, square on and leaning`, () => {
    allRight(shoot(ruler(drawn), { pxPerMm, centreMm: [45, 6] }, 11), unit);
    allRight(
      shoot(ruler(drawn), { pxPerMm, centreMm: [45, 6], tiltDeg: 20, recedesDeg: 40, rollDeg: -30 }, 12),
      unit,
    );
  });
  test(`${name} light on dark are read as such`, () => {
    allRight(shoot(ruler({ ...drawn, ink: 220, paper: 40 }), { pxPerMm, centreMm: [45, 6] }, 13), unit);
  });
}

test("sixteenths of an inch are never millimetres, whatever part of them is seen", () => {
  for (const [count, first] of [
    [20, 3],
    [34, 0],
    [48, 9],
  ] as const) {
    const drawn = ruler({ pitchMm: INCH / 16, count, first, classes: SIXTEENTHS, bodyMm: 28 });
    const shown = shoot(drawn, { pxPerMm: 9, centreMm: [count * 0.8, 6] }, count);
    const reading = readScale(shown.picture);
    if (!reading.found || reading.warnings.length > 0) continue;
    for (const scale of reading.scales) {
      assert.ok(errorPct(scale.pxPerMm.value, shown.truth(scale)) < 1, `${count} bars from ${first}`);
    }
  }
});

test("tenths of an inch, which are divided like millimetres, are not read without a warning, and the interval holds the truth", () => {
  for (const pxPerMm of [4, 8, 16]) {
    const tenths = ruler({
      pitchMm: 2.54,
      count: 40,
      classes: [
        [10, 6],
        [5, 4.4],
        [1, 3],
      ],
      tickMm: 0.2,
    });
    const shown = shoot(tenths, { pxPerMm, centreMm: [50, 5] }, 21);
    const reading = readScale(shown.picture);
    if (!reading.found) continue;
    assert.ok(
      reading.warnings.some((w) => w.includes("tenths")),
      `at ${pxPerMm} px/mm: ${reading.warnings}`,
    );
    const [scale] = reading.scales;
    assert.ok(Math.abs(scale!.pxPerMm.value - shown.truth(scale!)) <= scale!.pxPerMm.u95);
  }
});

test("eighths of an inch could be half-seen sixteenths: they are not read, and the reason says so", () => {
  const shown = shoot(ruler({ pitchMm: INCH / 8, count: 28, classes: EIGHTHS, bodyMm: 28, blotMm: 0 }), {
    pxPerMm: 8,
    centreMm: [45, 6],
  });
  const reading = readScale(shown.picture);
  assert.ok(!reading.found);
  assert.match(reading.reason, /unit/);
});

test("bars of one length tell no unit", () => {
  const reading = readScale(shoot(ruler({ pitchMm: 1, count: 90, classes: [[1, 3]], blotMm: 0 })).picture);
  assert.equal(reading.found, false);
});

test("half of a pitch is not locked on to: thin bars with as wide a ground between them", () => {
  const drawn = ruler({ pitchMm: 1, count: 90, classes: MM, tickMm: 0.5 });
  allRight(shoot(drawn, { pxPerMm: 9, centreMm: [45, 6] }, 31), "mm");
});

/** Two edges of one ruler, back to back, 26 mm apart. */
function twoSided(far: Ruler): ReturnType<typeof ruler> {
  const near = ruler({ pitchMm: 1, count: 90, classes: MM });
  const other = ruler(far);
  return (x, y) => (y < 13 ? near(x, y) : other(90 - x, 26 - y));
}

test("a two-sided ruler settles its inch side, also where that alone would not tell", () => {
  for (const [parts, classes] of [
    [16, SIXTEENTHS],
    [8, EIGHTHS],
  ] as const) {
    const pitchMm = INCH / parts;
    const drawn = twoSided({ pitchMm, count: Math.floor(88 / pitchMm), classes, blotMm: 0 });
    const shown = shoot(drawn, { pxPerMm: 8, centreMm: [45, 13], heightPx: 560 }, parts);
    const reading = found(shown.picture);
    assert.deepEqual(reading.scales.map((s) => s.unit).sort(), ["inch", "mm"]);
    for (const scale of reading.scales) {
      assert.ok(errorPct(scale.pxPerMm.value, shown.truth(scale)) < MOST_ERROR_PCT);
    }
  }
});

test("beside an inch side, tenths of an inch are known for what they are", () => {
  const near = ruler({
    pitchMm: 2.54,
    count: 36,
    classes: [
      [10, 6],
      [5, 4.4],
      [1, 3],
    ],
  });
  const far = ruler({ pitchMm: INCH / 16, count: 56, classes: SIXTEENTHS, blotMm: 0 });
  const shown = shoot(
    (x, y) => (y < 13 ? near(x, y) : far(90 - x, 26 - y)),
    { centreMm: [45, 13], heightPx: 560 },
    41,
  );
  const reading = found(shown.picture);
  for (const scale of reading.scales) {
    assert.equal(scale.unit, "inch");
    assert.ok(errorPct(scale.pxPerMm.value, shown.truth(scale)) < MOST_ERROR_PCT);
  }
});

test("centimetre blocks beside bars of two lengths make them millimetres", () => {
  const bars = ruler({
    pitchMm: 1,
    count: 90,
    classes: [
      [5, 3],
      [1, 2],
    ],
    blotMm: 0,
  });
  const drawn = (x: number, y: number) =>
    y < -0.3 && y > -3.5 && x >= 0 && x <= 90 ? (Math.floor(x / 10) & 1 ? 220 : 30) : bars(x, y);
  allRight(shoot(drawn, { centreMm: [45, 3] }, 51), "mm");
});

test("a scale that divides only its first centimetre is read over its whole length", () => {
  const drawn = (x: number, y: number) => {
    if (x < -5 || x > 105 || y < -4 || y > 12) return 130;
    const k = Math.round(x);
    const bar = Math.abs(x - k) < 0.12 && k >= 0 && k <= 100 && (k <= 10 || k % 10 === 0);
    return bar && y > 0 && y < 6 ? 230 : 25;
  };
  const shown = shoot(drawn, { pxPerMm: 8, centreMm: [50, 4] }, 61);
  const reading = found(shown.picture);
  const [scale] = reading.scales;
  assert.ok(scale!.coverageMm >= 90);
  assert.ok(errorPct(scale!.pxPerMm.value, shown.truth(scale!)) < MOST_ERROR_PCT);
});

test("graph paper is read as a last resort and named", () => {
  const paper = (x: number, y: number) => {
    const line = (v: number) => {
      const k = Math.round(v);
      const half = k % 10 === 0 ? 0.2 : k % 5 === 0 ? 0.14 : 0.07;
      return Math.abs(v - k) < half;
    };
    return x > 0 && y > 0 && x < 70 && y < 45 && (line(x) || line(y)) ? 120 : 225;
  };
  const shown = shoot(paper, { pxPerMm: 10, centreMm: [35, 22] }, 71);
  const reading = found(shown.picture);
  assert.ok(reading.warnings.some((w) => w.includes("graph paper")));
  for (const scale of reading.scales) {
    assert.equal(scale.kind, "unknown");
    assert.ok(errorPct(scale.pxPerMm.value, shown.truth(scale)) < 0.5);
  }
});
