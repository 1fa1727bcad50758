import assert from "node:assert/strict";
import { test } from "node:test";
import type { OutlineRegion } from "../../src/answers.ts";
import { checkedRegions, regionsFromJson } from "../../src/planimetry/regions-from-json.ts";
import { scaleFromJson } from "../../src/planimetry/scale-from-json.ts";

const square = [
  [10, 10],
  [50, 10],
  [50, 50],
  [10, 50],
];

test("a region, a list of regions and a line of the outline command are understood", () => {
  assert.equal(regionsFromJson({ outline: square }, "f").length, 1);
  assert.equal(regionsFromJson([{ outline: square, holes: [] }, { outline: square }], "f").length, 2);
  const line = { file: "a.jpg", regions: [{ outline: square, holes: [], edgeUPx: 2.5 }], seconds: 0.3 };
  assert.equal(regionsFromJson(line, "f")[0]!.edgeUPx, 2.5);
});

test("what is no outline is refused with the place that is wrong", () => {
  const cases: readonly (readonly [unknown, RegExp])[] = [
    [null, /neither a region nor a list/],
    ["square", /neither a region nor a list/],
    [[], /no region/],
    [{}, /outline of the region is not a list/],
    [[1, 2], /region 1 is not an object/],
    [{ outline: [[1, 2], [3]] }, /point 2 is not two numbers/],
    [
      {
        outline: [
          [1, 2],
          ["3", 4],
        ],
      },
      /point 2 is not two numbers/,
    ],
    [{ outline: [[1, null]] }, /point 1 is not two numbers/],
    [{ outline: square, holes: {} }, /holes of the region are not a list/],
    [{ outline: square, holes: [[[1, "x"]]] }, /hole 1 of the region, point 1/],
    [{ regions: [], reason: "Nothing stands out." }, /nothing was outlined \(Nothing stands out\.\)/],
    [{ regions: 4 }, /regions are not a list/],
    [Array.from({ length: 201 }, () => ({ outline: square })), /201 regions/],
    [{ outline: Array.from({ length: 100_001 }, (_, i) => [i, 0]) }, /more than 100000 points/],
  ];
  for (const [value, message] of cases) {
    assert.throws(() => regionsFromJson(value, "f.json"), { code: "OUTLINE_NOT_UNDERSTOOD", message });
  }
});

const region = (outline: number[][], holes: number[][][] = []) =>
  ({ outline, holes }) as unknown as OutlineRegion;
const picture = { widthPx: 100, heightPx: 80 };

test("a first point given again at the end is no fault", () => {
  const [checked] = checkedRegions([region([...square, square[0]!])], picture);
  assert.equal(checked!.outline.length, 4);
});

test("outlines that cannot be measured are refused with the reason", () => {
  const cases: readonly (readonly [OutlineRegion, RegExp])[] = [
    [
      region([
        [10, 10],
        [50, 50],
        [50, 10],
        [10, 50],
      ]),
      /crosses itself near \(30\.0, 30\.0\)/,
    ],
    [
      region([
        [10, 10],
        [50, 50],
      ]),
      /three are needed/,
    ],
    [
      region([
        [10, 10],
        [30, 30],
        [50, 50],
      ]),
      /./,
    ],
    [
      region([
        [10, 10],
        [50, 10],
        [50, 90],
      ]),
      /50,90 lies outside the picture of 100 x 80 px/,
    ],
    [
      region(square, [
        [
          [60, 60],
          [70, 60],
          [70, 70],
        ],
      ]),
      /hole 1 lies outside the outline/,
    ],
    [
      region(square, [
        [
          [40, 40],
          [60, 40],
          [60, 45],
        ],
      ]),
      /hole 1 crosses the outline/,
    ],
    [
      region([
        [Number.NaN, 1],
        [2, 3],
        [4, 9],
      ]),
      /outside the picture|not a number/,
    ],
  ];
  for (const [bad, message] of cases) {
    assert.throws(() => checkedRegions([bad], picture), { code: "OUTLINE_CANNOT_BE_MEASURED", message });
  }
});

const reading = {
  file: "a.jpg",
  widthPx: 100,
  heightPx: 80,
  found: true,
  scales: [{ pxPerMm: { value: 4, u95: 0.01 }, at: { x: 20, y: 20 }, axisDeg: 0 }],
  plane: null,
};

test("a reading of a scale is checked as far as measuring needs it", () => {
  assert.equal(scaleFromJson(reading, "f").found, true);
  assert.equal(scaleFromJson({ ...reading, found: false, reason: "none" }, "f").found, false);
  const identity = [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ];
  const cases: readonly (readonly [unknown, RegExp])[] = [
    [[], /not a reading/],
    [{ ...reading, found: "yes" }, /found/],
    [{ ...reading, file: 3 }, /names no file/],
    [{ ...reading, widthPx: -1 }, /no size/],
    [{ ...reading, scales: [] }, /lists no scales/],
    [{ ...reading, scales: [{ ...reading.scales[0], pxPerMm: { value: 0, u95: 0 } }] }, /scale 1 lacks/],
    [{ ...reading, plane: { homographyPxToMm: identity } }, /plane is not/],
    [
      {
        ...reading,
        plane: {
          homographyPxToMm: [
            [1, 0, 0],
            [2, 0, 0],
            [0, 0, 1],
          ],
          tiltDeg: { value: 1, u95: 1 },
        },
      },
      /plane is not/,
    ],
    [{ file: "a.jpg", error: { message: "gone" } }, /the reading failed \(gone\)/],
  ];
  for (const [value, message] of cases) {
    assert.throws(() => scaleFromJson(value, "f"), { code: "SCALE_READING_NOT_UNDERSTOOD", message });
  }
});
