import assert from "node:assert/strict";
import { test } from "node:test";
import type { OutlineRegion } from "../../src/answers.ts";
import { type OutlineClicks, proposeOutline } from "../../src/outline/propose.ts";
import { type Colour, dice, filled, maskOf, picture } from "./drawn.ts";

/** sRGB of skin from very light to dark, as photographed under flash; common practice, no source. */
const SKINS: Readonly<Record<string, Colour>> = {
  "very light": [233, 203, 184],
  light: [216, 180, 156],
  intermediate: [196, 156, 128],
  tan: [170, 126, 96],
  brown: [118, 82, 60],
  dark: [72, 50, 40],
};
const WOUND: Colour = [140, 44, 46];
const SIZE = 320;

const blend = (a: Colour, b: Colour, t: number): Colour => [
  a[0] + t * (b[0] - a[0]),
  a[1] + t * (b[1] - a[1]),
  a[2] + t * (b[2] - a[2]),
];

/** Negative inside an ellipse turned by 30 degrees, about in pixels. */
function ellipse(cx: number, cy: number, a: number, b: number) {
  const [c, s] = [Math.cos(Math.PI / 6), Math.sin(Math.PI / 6)];
  return (x: number, y: number) => {
    const u = (c * (x - cx) + s * (y - cy)) / a;
    const v = (-s * (x - cx) + c * (y - cy)) / b;
    return (Math.hypot(u, v) - 1) * Math.min(a, b);
  };
}

/** Edges two pixels wide, the light falling off across the picture. */
const lit = (skin: Colour, inside: Colour, distance: (x: number, y: number) => number) => {
  return (x: number, y: number): Colour => {
    const c = blend(inside, skin, Math.max(0, Math.min(1, 0.5 + distance(x, y) / 2)));
    return blend(c, [0, 0, 0], (0.2 * x) / SIZE);
  };
};

const outlined = (p: ReturnType<typeof picture>, clicks: Partial<OutlineClicks>) =>
  proposeOutline(p, { inside: [], outside: [], ...clicks });

const areaDice = (regions: readonly OutlineRegion[], truth: Uint8Array) =>
  dice(filled(regions, SIZE, SIZE), truth);

for (const [name, skin] of Object.entries(SKINS)) {
  test(`one click finds an ellipse on ${name} skin`, () => {
    const shape = ellipse(170, 150, 52, 30);
    const p = picture(SIZE, SIZE, lit(skin, WOUND, shape));
    const { regions } = outlined(p, { inside: [[172, 148]] });
    assert.equal(regions.length, 1);
    // 0.97 is a margin of one pixel on this ellipse (perimeter 263 px, area 4900 px: Dice 1 - 263/9800).
    assert.ok(
      areaDice(
        regions,
        maskOf(SIZE, SIZE, (x, y) => shape(x, y) < 0),
      ) > 0.97,
    );
  });
}

test("the same clicks give the same outline, point for point", () => {
  const shape = ellipse(150, 160, 40, 25);
  const p = picture(SIZE, SIZE, lit(SKINS.tan!, WOUND, shape), 10);
  const clicks = { inside: [[150, 160]], outside: [[185, 180]] } as const;
  assert.deepEqual(outlined(p, clicks), outlined(p, clicks));
});

test("a later click changes nothing further than a few of its own distances to the edge", () => {
  // Two lobes of unlike colours: the first click takes one of them or both, the second mends that.
  const left = ellipse(130, 160, 36, 30);
  const right = ellipse(190, 160, 34, 28);
  const p = picture(SIZE, SIZE, (x, y) =>
    lit(SKINS.light!, left(x, y) < right(x, y) ? WOUND : [176, 120, 70], (u, v) =>
      Math.min(left(u, v), right(u, v)),
    )(x, y),
  );
  const first = filled(outlined(p, { inside: [[125, 160]] }).regions, SIZE, SIZE);
  const click = first[160 * SIZE + 200]
    ? ({ outside: [[200, 160]] } as const)
    : ({
        inside: [
          [125, 160],
          [200, 160],
        ],
      } as const);
  const second = filled(outlined(p, { inside: [[125, 160]], ...click }).regions, SIZE, SIZE);
  let nearest = Number.POSITIVE_INFINITY;
  for (let i = 0; i < first.length; i++) {
    if (first[i] === first[160 * SIZE + 200]) continue;
    nearest = Math.min(nearest, Math.hypot((i % SIZE) + 0.5 - 200, Math.floor(i / SIZE) + 0.5 - 160));
  }
  let changed = 0;
  for (let i = 0; i < first.length; i++) {
    if (first[i] === second[i]) continue;
    changed++;
    const away = Math.hypot((i % SIZE) + 0.5 - 200, Math.floor(i / SIZE) + 0.5 - 160);
    assert.ok(away <= 4.5 * nearest + 3, `${away} px away, edge at ${nearest} px`);
  }
  assert.ok(changed > 100);
});

test("a click on what is right already changes nothing", () => {
  const shape = ellipse(160, 160, 50, 36);
  const p = picture(SIZE, SIZE, lit(SKINS.intermediate!, WOUND, shape));
  const once = outlined(p, { inside: [[160, 160]] });
  const again = outlined(p, {
    inside: [
      [160, 160],
      [170, 165],
    ],
    outside: [[20, 20]],
  });
  assert.deepEqual(again.regions, once.regions);
});

test("an island of skin inside becomes a hole where a click says so", () => {
  const shape = (x: number, y: number) => {
    const r = Math.hypot(x - 160, y - 160);
    return Math.max(r - 70, 11 - Math.hypot(x - 190, y - 168));
  };
  const p = picture(SIZE, SIZE, lit(SKINS.light!, WOUND, shape));
  const { regions } = outlined(p, { inside: [[150, 155]], outside: [[190, 168]] });
  assert.equal(regions.length, 1);
  assert.equal(regions[0]!.holes.length, 1);
  assert.ok(
    areaDice(
      regions,
      maskOf(SIZE, SIZE, (x, y) => shape(x, y) < 0),
    ) > 0.96,
  );
});

test("two clicks in two places give two regions", () => {
  const one = ellipse(80, 90, 30, 22);
  const two = ellipse(235, 230, 26, 24);
  const shape = (x: number, y: number) => Math.min(one(x, y), two(x, y));
  const p = picture(SIZE, SIZE, lit(SKINS.brown!, [96, 24, 28], shape));
  const { regions } = outlined(p, {
    inside: [
      [80, 90],
      [235, 230],
    ],
  });
  assert.equal(regions.length, 2);
  assert.ok(
    areaDice(
      regions,
      maskOf(SIZE, SIZE, (x, y) => shape(x, y) < 0),
    ) > 0.95,
  );
});

test("a box alone is enough, and nothing beyond it is taken", () => {
  const shape = ellipse(170, 150, 60, 24);
  const p = picture(SIZE, SIZE, lit(SKINS.tan!, WOUND, shape));
  const box = [105, 100, 232, 200] as const;
  const { regions } = outlined(p, { box });
  assert.ok(
    areaDice(
      regions,
      maskOf(SIZE, SIZE, (x, y) => shape(x, y) < 0),
    ) > 0.95,
  );
  const tight = [150, 140, 190, 165] as const;
  for (const [x, y] of outlined(p, { box: tight }).regions[0]?.outline ?? []) {
    assert.ok(x >= 149.5 && x <= 190.5 && y >= 139.5 && y <= 165.5, `${x},${y}`);
  }
});

test("black padding is never inside", () => {
  const shape = ellipse(70, 160, 60, 40);
  const paint = lit(SKINS.light!, [60, 24, 22], shape);
  const p = picture(SIZE, SIZE, (x, y) => (x < 40 ? [0, 0, 0] : paint(x, y)), 3);
  const { regions } = outlined(p, { inside: [[80, 160]] });
  const mask = filled(regions, SIZE, SIZE);
  for (let y = 0; y < SIZE; y++) for (let x = 0; x < 38; x++) assert.equal(mask[y * SIZE + x], 0);
  assert.ok(
    areaDice(
      regions,
      maskOf(SIZE, SIZE, (x, y) => x > 40 && shape(x, y) < 0),
    ) > 0.94,
  );
});

test("in a picture finer than the work grid the edge is placed to a part of a work pixel", () => {
  // 2048 px wide: four picture pixels to a work pixel.
  const shape = (x: number, y: number) => Math.hypot(x - 1000, y - 700) - 300;
  const p = picture(
    2048,
    1536,
    (x, y) => blend(WOUND, SKINS.light!, Math.max(0, Math.min(1, 0.5 + shape(x, y) / 3))),
    6,
  );
  const { regions } = proposeOutline(p, { inside: [[1000, 700]], outside: [] });
  const off = regions[0]!.outline.map(([x, y]) => shape(x, y)).sort((a, b) => a - b);
  const median = off[off.length >> 1]!;
  assert.ok(Math.abs(median) < 0.5, `median ${median} px`);
  assert.ok(Math.max(Math.abs(off[0]!), Math.abs(off.at(-1)!)) < 4, `${off[0]} to ${off.at(-1)} px`);
});

test("where nothing can be proposed the answer says why", () => {
  const plain = picture(100, 80, () => SKINS.light!, 0);
  const cases: readonly (readonly [Partial<OutlineClicks>, RegExp])[] = [
    [{ inside: [[120, 40]] }, /lies outside the picture of 100 x 80 px/],
    [{ inside: [[Number.NaN, 40]] }, /lies outside the picture/],
    [{ inside: [[50, 40]], outside: [[-1, 0]] }, /lies outside the picture/],
    [{ outside: [[50, 40]] }, /No point inside/],
    [{ inside: [[50, 40]] }, /Nothing stands out/],
    [{ box: [200, 200, 300, 300] }, /box holds no part/],
  ];
  for (const [clicks, reason] of cases) {
    const answer = outlined(plain, clicks);
    assert.deepEqual(answer.regions, []);
    assert.match(answer.reason!, reason);
  }
  const dot = picture(1, 1, () => WOUND);
  assert.match(outlined(dot, { inside: [[0.5, 0.5]] }).reason!, /too small: 1 x 1 px/);
});

test("a picture of nothing but grain gives no outline or a warned one", () => {
  const p = picture(SIZE, SIZE, () => SKINS.tan!, 12);
  const { regions, reason, warnings } = outlined(p, { inside: [[160, 160]] });
  assert.ok((regions.length === 0 && reason) || warnings.length > 0);
});
