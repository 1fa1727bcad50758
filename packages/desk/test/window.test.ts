import assert from "node:assert/strict";
import { test } from "node:test";
import { applyHomography, invertHomography } from "@samescale/geometry";
import type { Matrix3, OutlineRegion, ScaleFound } from "@samescale/picture";
import { windowInFollowup, windowRound } from "../src/compare/window.ts";

const square: OutlineRegion[] = [
  {
    outline: [
      [900, 700],
      [1100, 700],
      [1100, 860],
      [900, 860],
    ],
    holes: [],
  },
];
const reading = (plane: Matrix3 | null): ScaleFound => ({
  file: "x.jpg",
  widthPx: 2400,
  heightPx: 1600,
  found: true,
  scales: [
    {
      kind: "straight",
      unit: "mm",
      pxPerMm: { value: 10, u95: 0.02 },
      at: { x: 500, y: 500 },
      axisDeg: 0,
      ticks: [],
      coverageMm: 50,
      residualPx: 0.1,
    },
  ],
  plane: plane === null ? null : { homographyPxToMm: plane, tiltDeg: { value: 0, u95: 1 } },
  reproductionRatio: null,
  warnings: [],
  recipe: { step: "scale", version: 1, parameters: {} },
});
/** 10 px per mm, the plane's frame turned by 30 degrees and, if wished, running the other way round. */
const turned = (flip: 1 | -1): Matrix3 => {
  const [c, s] = [Math.cos(Math.PI / 6) / 10, Math.sin(Math.PI / 6) / 10];
  return [
    [c, s, 3],
    [-flip * s, flip * c, 7],
    [0, 0, 1],
  ];
};

for (const [name, plane] of [
  ["no plane", null],
  ["a turned plane", turned(1)],
  ["a plane that runs the other way", turned(-1)],
] as const) {
  test(`with ${name} the window is upright, centred on the outline and true to size`, () => {
    const window = windowRound(square, reading(plane), false)!;
    const at = (x: number, y: number) => applyHomography(window.mmToBaseline, { x, y });
    const middle = at(window.widthMm / 2, window.heightMm / 2);
    assert.ok(Math.abs(middle.x - 1000) < 1e-6 && Math.abs(middle.y - 780) < 1e-6);
    const [right, down] = [at(10, 0), at(0, 10)];
    const origin = at(0, 0);
    assert.ok(Math.abs(right.x - origin.x - 100) < 1e-6 && Math.abs(right.y - origin.y) < 1e-6);
    assert.ok(Math.abs(down.y - origin.y - 100) < 1e-6 && Math.abs(down.x - origin.x) < 1e-6);
  });
}

test("turned back from a mirror, right in the window is left in the picture, in the same place", () => {
  const window = windowRound(square, reading(null), true)!;
  const origin = applyHomography(window.mmToBaseline, { x: 0, y: 0 });
  const right = applyHomography(window.mmToBaseline, { x: 1, y: 0 });
  assert.ok(Math.abs(right.x - origin.x + 10) < 1e-9);
  const middle = applyHomography(window.mmToBaseline, { x: window.widthMm / 2, y: window.heightMm / 2 });
  assert.ok(Math.abs(middle.x - 1000) < 1e-9);
});

test("a follow-up's window lands on the same places of the baseline", () => {
  const window = windowRound(square, reading(null), false)!;
  const followupToBaseline: Matrix3 = [
    [1.02, 0.05, -30],
    [-0.04, 0.99, 12],
    [1e-6, 2e-6, 1],
  ];
  const inFollowup = applyHomography(windowInFollowup(window, followupToBaseline), { x: 20, y: 15 });
  const back = applyHomography(followupToBaseline, inFollowup);
  const direct = applyHomography(window.mmToBaseline, { x: 20, y: 15 });
  assert.ok(Math.hypot(back.x - direct.x, back.y - direct.y) < 1e-9);
  assert.ok(applyHomography(invertHomography(window.mmToBaseline), direct).x - 20 < 1e-9);
});

test("nothing outlined: no window", () => {
  assert.equal(windowRound([], reading(null), false), null);
});
