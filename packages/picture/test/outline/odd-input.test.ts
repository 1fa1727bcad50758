import assert from "node:assert/strict";
import { test } from "node:test";
import { seededRandom } from "@samescale/geometry";
import type { XY } from "../../src/answers.ts";
import { type OutlineStep, outlineBySteps } from "../../src/outline/index.ts";
import { proposeOutline } from "../../src/outline/propose.ts";
import { picture } from "./drawn.ts";

const [WIDTH, HEIGHT] = [96, 72];
const disc = picture(WIDTH, HEIGHT, (x, y) =>
  Math.hypot(x - 48, y - 36) < 18 ? [140, 44, 46] : [196, 156, 128],
);
const plain = (grey: number) => ({
  widthPx: WIDTH,
  heightPx: HEIGHT,
  rgb: new Uint8Array(3 * WIDTH * HEIGHT).fill(grey),
});

for (const [name, grey] of [
  ["black", 0],
  ["of one colour", 128],
  ["white", 255],
] as const) {
  test(`a picture that is ${name}: a click finds nothing and says so; drawing works as anywhere`, () => {
    const click = proposeOutline(plain(grey), { inside: [[48, 36]], outside: [] });
    assert.deepEqual(click.regions, []);
    assert.match(click.reason!, /Nothing stands out/);
    const boxed = proposeOutline(plain(grey), { inside: [], outside: [], box: [20, 20, 70, 60] });
    assert.deepEqual(boxed.regions, []);
    const rim: OutlineStep = {
      do: "rim",
      points: [
        [30, 20],
        [60, 20],
        [45, 50],
      ],
      inside: true,
    };
    assert.equal(outlineBySteps(plain(grey), [rim]).regions.length, 1);
    const brush: OutlineStep = { do: "brush", points: [[30, 30]], radiusPx: 8, inside: true };
    assert.equal(outlineBySteps(plain(grey), [brush]).regions.length, 1);
  });
}

test("a picture one pixel wide or high, and one of one pixel, is too small, said so", () => {
  for (const [widthPx, heightPx] of [
    [1, 1],
    [1, 500],
    [500, 1],
    [15, 15],
  ] as const) {
    const tiny = { widthPx, heightPx, rgb: new Uint8Array(3 * widthPx * heightPx) };
    assert.match(proposeOutline(tiny, { inside: [[0.5, 0.5]], outside: [] }).reason!, /too small/);
    assert.match(outlineBySteps(tiny, [{ do: "click", at: [0.5, 0.5], inside: true }]).reason!, /too small/);
  }
});

test("inside and outside at one spot: an answer, the same whichever was named first", () => {
  const spot: XY = [48, 36];
  const both = proposeOutline(disc, { inside: [spot], outside: [spot] });
  assert.ok(both.regions.length > 0 || both.reason);
  assert.deepEqual(proposeOutline({ ...disc }, { inside: [spot], outside: [spot] }), both);
});

test("a brush as large as the picture fills it, the largest eraser empties it, and both are said", () => {
  const fill: OutlineStep = { do: "brush", points: [[48, 36]], radiusPx: 96, inside: true };
  const { regions } = outlineBySteps(disc, [fill]);
  assert.equal(regions.length, 1);
  const empty = outlineBySteps(disc, [fill, { ...fill, inside: false }]);
  assert.deepEqual(empty.regions, []);
  assert.ok(empty.reason);
});

test("sixty clicks at random are worked through", () => {
  const random = seededRandom(3);
  const at = (): XY => [WIDTH * random(), HEIGHT * random()];
  const inside = Array.from({ length: 30 }, at);
  const outside = Array.from({ length: 30 }, at);
  const { regions, reason } = proposeOutline(disc, { inside, outside });
  assert.ok(regions.length > 0 || reason);
});
