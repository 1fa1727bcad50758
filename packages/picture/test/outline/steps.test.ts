import assert from "node:assert/strict";
import { test } from "node:test";
import type { XY } from "../../src/answers.ts";
import {
  emptyHistory,
  type OutlineStep,
  outlineBySteps,
  redone,
  stepsFromJson,
  takenSteps,
  undone,
  withStep,
} from "../../src/outline/index.ts";
import { type Colour, dice, filled, maskOf, picture } from "./drawn.ts";

const SIZE = 160;
const SKIN: Colour = [196, 156, 128];
const WOUND: Colour = [140, 44, 46];

/** Negative inside. */
const disc = (cx: number, cy: number, r: number) => (x: number, y: number) => Math.hypot(x - cx, y - cy) - r;
const mixed = (d: number): Colour => {
  const t = Math.max(0, Math.min(1, 0.5 + d / 2));
  return [0, 1, 2].map((i) => WOUND[i]! + t * (SKIN[i]! - WOUND[i]!)) as unknown as Colour;
};
const round = disc(80, 80, 34);
const wound = picture(SIZE, SIZE, (x, y) => mixed(round(x, y)));
const plain = picture(SIZE, SIZE, () => SKIN);

const maskAfter = (p: typeof wound, steps: readonly OutlineStep[]) =>
  filled(outlineBySteps(p, steps).regions, SIZE, SIZE);
const against = (p: typeof wound, steps: readonly OutlineStep[], truth: (x: number, y: number) => number) =>
  dice(
    maskAfter(p, steps),
    maskOf(SIZE, SIZE, (x, y) => truth(x, y) < 0),
  );
const onRing = (d: number, count: number, r = 34): XY[] =>
  Array.from({ length: count }, (_, k): XY => {
    const a = d + (2 * Math.PI * k) / count;
    return [80 + r * Math.cos(a), 80 + r * Math.sin(a)];
  });

const click: OutlineStep = { do: "click", at: [80, 80], inside: true };

test("a rim clicked at four places follows the edge between them", () => {
  const steps: OutlineStep[] = [{ do: "rim", points: onRing(0.3, 4), inside: true }];
  // The four chords alone would give 2 x 2/pi = 0.78 of the disc: Dice 0.88.
  const d = against(wound, steps, round);
  assert.ok(d > 0.97, `${d}`);
});

test("a rim on even ground is what lies between its points", () => {
  const points: XY[] = [
    [40, 40],
    [120, 40],
    [120, 120],
    [40, 120],
  ];
  const flat = { ...plain, rgb: new Uint8Array(plain.rgb.length).fill(128) };
  const d = against(
    flat,
    [{ do: "rim", points, inside: true }],
    (x, y) => Math.max(Math.abs(x - 80), Math.abs(y - 80)) - 40,
  );
  assert.ok(d > 0.97, `${d}`);
});

test("the brush adds and removes discs, exactly as large as it is", () => {
  const add: OutlineStep = {
    do: "brush",
    points: [
      [60, 60],
      [100, 60],
    ],
    radiusPx: 12,
    inside: true,
  };
  const segment = (x: number, y: number) => Math.hypot(x - Math.min(100, Math.max(60, x)), y - 60) - 12;
  assert.ok(against(plain, [add], segment) > 0.98);
  const erase: OutlineStep = { do: "brush", points: [[80, 60]], radiusPx: 6, inside: false };
  const { regions } = outlineBySteps(plain, [add, erase]);
  assert.equal(regions.length, 1);
  assert.equal(regions[0]!.holes.length, 1);
});

test("what is drawn by hand stays where it was drawn, also in a picture finer than the grid and beside a strong edge", () => {
  const fine = picture(1600, 1200, (x, y) => mixed(disc(800, 600, 300)(x, y)));
  const points = onRing(0, 120, 1).map(([x, y]): XY => [800 + 303 * (x - 80), 600 + 303 * (y - 80)]);
  const { regions } = outlineBySteps(fine, [{ do: "draw", points, inside: true }]);
  const off = regions[0]!.outline.map(([x, y]) => Math.hypot(x - 800, y - 600) - 303);
  // A pixel of the grid is 3.1 px here; the edge of the disc, 3 px further in, does not draw the line to it.
  assert.ok(Math.max(...off.map(Math.abs)) < 1, `${Math.min(...off)} to ${Math.max(...off)} px`);
});

test("a loop drawn past its own beginning is filled", () => {
  const points = [...onRing(0, 40), ...onRing(0, 40).slice(0, 8)];
  assert.ok(against(plain, [{ do: "draw", points, inside: true }], round) > 0.98);
});

test("several regions, each by its own tool", () => {
  const steps: OutlineStep[] = [
    click,
    {
      do: "draw",
      points: [
        [5, 5],
        [35, 5],
        [35, 30],
        [5, 30],
      ],
      inside: true,
    },
    { do: "brush", points: [[140, 140]], radiusPx: 10, inside: true },
  ];
  assert.equal(outlineBySteps(wound, steps).regions.length, 3);
});

test("undo and redo of every step; the same steps give the same outline, in a fresh picture too", () => {
  const steps: OutlineStep[] = [
    { do: "box", box: [30, 30, 130, 130] },
    { do: "click", at: [80, 80], inside: true },
    {
      do: "brush",
      points: [
        [112, 80],
        [125, 85],
      ],
      radiusPx: 7,
      inside: true,
    },
    { do: "draw", points: onRing(0, 12, 9), inside: false },
    { do: "rim", points: onRing(0.3, 5), inside: true },
  ];
  let history = steps.reduce(withStep, emptyHistory);
  const seen = steps.map((_, k) => outlineBySteps(wound, steps.slice(0, k + 1)).regions);
  for (let k = steps.length - 1; k > 0; k--) {
    history = undone(history);
    assert.deepEqual(outlineBySteps(wound, takenSteps(history)).regions, seen[k - 1]);
  }
  for (let k = 1; k < steps.length; k++) {
    history = redone(history);
    assert.deepEqual(outlineBySteps(wound, takenSteps(history)).regions, seen[k]);
  }
  assert.equal(redone(history), history);
  assert.equal(undone(emptyHistory), emptyHistory);
  // Another step drops what had been taken back.
  assert.equal(redone(withStep(undone(history), click)).steps.length, steps.length);
  // Kept as text and replayed elsewhere, with nothing remembered.
  const copy = stepsFromJson(JSON.parse(JSON.stringify({ steps })), "copy");
  assert.deepEqual(outlineBySteps({ ...wound }, copy).regions, seen.at(-1));
});

test("no step changes anything further away than it reaches", () => {
  const brush: OutlineStep = { do: "brush", points: [[118, 80]], radiusPx: 8, inside: true };
  const outside: OutlineStep = { do: "click", at: [120, 80], inside: false };
  const steps: OutlineStep[] = [
    click,
    brush,
    outside,
    { do: "brush", points: [[60, 60]], radiusPx: 5, inside: false },
  ];
  const reach = [0, 8, 4.5 * 8, 5];
  const at: XY[] = [
    [0, 0],
    [118, 80],
    [120, 80],
    [60, 60],
  ];
  for (let k = 1; k < steps.length; k++) {
    const before = maskAfter(wound, steps.slice(0, k));
    const after = maskAfter(wound, steps.slice(0, k + 1));
    let changed = 0;
    for (let i = 0; i < before.length; i++) {
      if (before[i] === after[i]) continue;
      changed++;
      const away = Math.hypot((i % SIZE) + 0.5 - at[k]![0], Math.floor(i / SIZE) + 0.5 - at[k]![1]);
      assert.ok(away <= reach[k]! + 1.5, `step ${k + 1}: ${away} px`);
    }
    assert.ok(changed > 0 || k === 2, `step ${k + 1} does something`);
  }
});

test("in a fine picture the edge far from an edit stays to a hundredth of a pixel of the grid", () => {
  const fine = picture(1600, 1200, (x, y) => mixed(disc(800, 600, 300)(x, y)));
  const first: OutlineStep = { do: "click", at: [800, 600], inside: true };
  const brush: OutlineStep = { do: "brush", points: [[1100, 600]], radiusPx: 40, inside: true };
  const far = ([x]: XY) => x < 900;
  const before = outlineBySteps(fine, [first]).regions[0]!.outline.filter(far);
  const after = outlineBySteps(fine, [first, brush]).regions[0]!.outline.filter(far);
  assert.equal(after.length, before.length);
  const sorted = (ring: readonly XY[]) => ring.toSorted((a, b) => a[0] - b[0] || a[1] - b[1]);
  const [a, b] = [sorted(before), sorted(after)];
  const most = Math.max(...a.map(([x, y], i) => Math.hypot(x - b[i]![0], y - b[i]![1])));
  assert.ok(most < 0.03, `${most} px of the picture, 3.1 px to a pixel of the grid`);
});

test("a click does not change what a hand painted, unless it points there", () => {
  const brush: OutlineStep = { do: "brush", points: [[118, 80]], radiusPx: 8, inside: true };
  const near: OutlineStep = { do: "click", at: [80, 119], inside: false };
  const painted = maskAfter(wound, [click, brush, near]);
  assert.ok(painted[80 * SIZE + 123]);
  const there: OutlineStep = { do: "click", at: [121, 80], inside: false };
  assert.ok(!maskAfter(wound, [click, brush, there])[80 * SIZE + 121]);
  // Erased by hand where a click had said inside: a later click elsewhere does not bring it back.
  const erase: OutlineStep = { do: "brush", points: [[80, 80]], radiusPx: 6, inside: false };
  const later: OutlineStep = { do: "click", at: [80, 117], inside: true };
  assert.ok(!maskAfter(wound, [click, erase, later])[80 * SIZE + 80]);
});

test("steps that cannot be taken are refused in words", () => {
  const cases: readonly (readonly [OutlineStep, RegExp])[] = [
    [{ do: "rim", points: [[5, 5]], inside: true }, /rim of 1 point encloses nothing/],
    [{ do: "rim", points: [], inside: true }, /rim of 0 points/],
    [
      {
        do: "rim",
        points: [
          [5, 5],
          [500, 5],
          [5, 50],
        ],
        inside: true,
      },
      /500,5 lies outside/,
    ],
    [
      {
        do: "draw",
        points: [
          [5, 5],
          [9, 9],
        ],
        inside: true,
      },
      /drawn edge of 2 points/,
    ],
    [{ do: "brush", points: [[5, 5]], radiusPx: 0, inside: true }, /radius 0 px/],
    [{ do: "brush", points: [[5, 5]], radiusPx: 1e9, inside: true }, /no larger than the picture/],
    [{ do: "brush", points: [[5, 5]], radiusPx: Number.NaN, inside: true }, /radius NaN px/],
    [{ do: "brush", points: [], radiusPx: 4, inside: true }, /without points/],
    [{ do: "brush", points: [[-50, 5]], radiusPx: 4, inside: true }, /-50,5 lies outside/],
    [
      {
        do: "brush",
        points: [
          [5, 5],
          [Number.NaN, 5],
        ],
        radiusPx: 4,
        inside: true,
      },
      /NaN,5 lies outside/,
    ],
    [{ do: "click", at: [Number.POSITIVE_INFINITY, 5], inside: true }, /Infinity,5 lies outside/],
    [{ do: "box", box: [10, 10, 10, 50] }, /box holds no part/],
    [{ do: "box", box: [Number.NaN, 10, 90, 50] }, /box holds no part/],
  ];
  for (const [step, reason] of cases) {
    const answer = outlineBySteps(wound, [step]);
    assert.deepEqual(answer.regions, []);
    assert.match(answer.reason!, reason);
  }
  assert.match(outlineBySteps(wound, []).reason!, /Nothing was pointed at/);
  // All three at one place, or in a line: nothing is enclosed, and that is said.
  const spot: XY[] = [
    [20, 20],
    [20, 20],
    [20, 20],
  ];
  assert.match(outlineBySteps(wound, [{ do: "rim", points: spot, inside: true }]).reason!, /./);
  assert.match(outlineBySteps(wound, [{ do: "draw", points: spot, inside: true }]).reason!, /./);
  assert.match(
    outlineBySteps(wound, [{ do: "brush", points: [[20, 20]], radiusPx: 5, inside: false }]).reason!,
    /./,
  );
});

test("hostile lists of steps are refused by name", () => {
  const cases: readonly (readonly [unknown, RegExp])[] = [
    [null, /no list of steps/],
    [{ steps: "click" }, /no list of steps/],
    [[], /no step in it/],
    [[null], /step 1 is not an object/],
    [[{ do: "click", at: [1, "2"] }], /step 1: "at" is not two numbers/],
    [[{ do: "click", at: [1, 2], inside: "yes" }], /neither true nor false/],
    [[{ do: "click", at: [1, Number.NaN] }], /two numbers/],
    [[{ do: "box", box: [1, 2, 3] }], /four numbers/],
    [[{ do: "brush", points: [[1, 2]], radiusPx: "9" }], /"radiusPx" is not a number/],
    [[{ do: "rim", points: { length: 3 } }], /"points" is not a list/],
    [[{ do: "rim", points: [[1, 2], [3]] }], /point 2 is not two numbers/],
    [[{ do: "__proto__" }], /none of click, box, rim, brush, draw/],
    [Array(1001).fill({ do: "box", box: [1, 2, 3, 4] }), /1001 steps, more than 1000/],
    [Array(201).fill({ do: "click", at: [1, 2] }), /more than 200 clicks/],
    [[{ do: "draw", points: Array(50_001).fill([1, 2]) }], /more than 50000 points/],
  ];
  for (const [value, message] of cases) {
    assert.throws(
      () => stepsFromJson(value, "file"),
      (thrown: Error & { code?: string }) => {
        assert.equal(thrown.code, "OUTLINE_STEPS_NOT_UNDERSTOOD");
        assert.match(thrown.message, message);
        return true;
      },
    );
  }
  assert.deepEqual(stepsFromJson([{ do: "click", at: [1, 2] }], "file"), [
    { do: "click", at: [1, 2], inside: true },
  ]);
});
