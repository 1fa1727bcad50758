import assert from "node:assert/strict";
import { test } from "node:test";
import { applyHomography, seededRandom } from "@samescale/geometry";
import { locateChart } from "../../src/colour/chart/locate-chart.ts";
import type { Triple } from "../../src/colour/space.ts";
import { busy, cellsToPx, type Drawing, draw, PATCHES } from "./drawn-chart.ts";

const random = seededRandom(71);
const base: Omit<Drawing, "charts"> = { widthPx: 520, heightPx: 400, background: busy, random };
type Corners = readonly (readonly [number, number])[];

/** Corner patches of a chart about a middle, turned, optionally leaning and mirrored. */
function corners(pitch: number, turnDeg: number, lean = 0, mirror = false): Corners {
  const a = (turnDeg * Math.PI) / 180;
  return (
    [
      [-2.5, -1.5],
      [2.5, -1.5],
      [2.5, 1.5],
      [-2.5, 1.5],
    ] as const
  ).map(([u, v]) => {
    const x = (mirror ? -u : u) * pitch;
    const y = v * pitch;
    const w = 1 + lean * (u / 5 + v / 6);
    return [
      260 + (x * Math.cos(a) - y * Math.sin(a)) / w,
      200 + (x * Math.sin(a) + y * Math.cos(a)) / w,
    ] as const;
  });
}

function worstMiss(found: Corners, want: Corners, pitch: number): number {
  return Math.max(...want.map(([x, y], i) => Math.hypot(found[i]![0] - x, found[i]![1] - y))) / pitch;
}

function cornersFound(picture: ReturnType<typeof draw>) {
  const located = locateChart(picture);
  assert.ok(located.found, located.found ? "" : located.reason);
  const at = (x: number, y: number) => {
    const p = applyHomography(located.chart.cellsToPx, { x, y });
    return [p.x, p.y] as const;
  };
  return { ...located, corners: [at(0, 0), at(5, 0), at(5, 3), at(0, 3)] };
}

test("the chart is found turned by any angle, leaning, small and large, its own corners in their order", () => {
  for (const [pitch, turnDeg, lean] of [
    [55, 0, 0],
    [50, 33, 0.2],
    [40, 90, -0.3],
    [45, 154, 0.35],
    [48, 180, 0],
    [40, -117, 0.25],
    [22, 71, 0.1], // 120 px long
  ] as const) {
    const want = corners(pitch, turnDeg, lean);
    const found = cornersFound(draw({ ...base, charts: [{ toPx: cellsToPx(want) }] }));
    // a tenth of the 0.35 that other programs allow would do; centres are found to a few hundredths
    assert.ok(worstMiss(found.corners, want, pitch) < 0.1, `${pitch} px, ${turnDeg}°`);
    assert.equal(found.chart.mirrored, false);
  }
});

test("a mirrored chart is called mirrored", () => {
  for (const turnDeg of [10, 100, 200]) {
    const want = corners(46, turnDeg, 0.1, true);
    const found = cornersFound(draw({ ...base, charts: [{ toPx: cellsToPx(want) }] }));
    assert.equal(found.chart.mirrored, true);
    assert.ok(worstMiss(found.corners, want, 46) < 0.1);
  }
});

test("a strong cast, two stops under and the shadow of a hand over a third do not hide the chart", () => {
  const want = corners(50, 12, 0.1);
  const toPx = cellsToPx(want);
  const cast = ([r, g, b]: Triple, x: number): Triple => {
    const shade = 0.25 * (x < 200 ? 0.45 : 1);
    return [1.5 * shade * r, shade * g, 0.55 * shade * b];
  };
  const found = cornersFound(draw({ ...base, charts: [{ toPx }], camera: cast }));
  assert.ok(worstMiss(found.corners, want, 50) < 0.1);
});

test("of two charts the clearest is taken, and the other counted", () => {
  const one = cellsToPx([
    [60, 60],
    [220, 60],
    [220, 156],
    [60, 156],
  ]);
  const other = cellsToPx([
    [290, 230],
    [465, 230],
    [465, 335],
    [290, 335],
  ]);
  const located = locateChart(draw({ ...base, charts: [{ toPx: one }, { toPx: other }] }));
  assert.ok(located.found);
  assert.equal(located.others, 1);
});

/** Deterministic shuffle. */
function shuffled<T>(list: readonly T[]): T[] {
  const next = seededRandom(5);
  const copy = [...list];
  for (let i = copy.length - 1; i > 0; i--) {
    const j = Math.floor(next() * (i + 1));
    [copy[i], copy[j]] = [copy[j]!, copy[i]!];
  }
  return copy;
}

test("targets that are not the chart are not taken for it", () => {
  const toPx = cellsToPx(corners(44, 8));
  const grey = PATCHES.map(([r, g, b]): Triple => {
    const y = 0.3 * r + 0.6 * g + 0.1 * b;
    return [y, y, y];
  });
  const own = seededRandom(9);
  const others = Array.from({ length: 24 }, (): Triple => [own(), own(), own()]);
  const swapped = PATCHES.map(([r, g, b]): Triple => [b, r, g]);
  const board = Array.from({ length: 24 }, (_, i): Triple => {
    const v = (i + Math.floor(i / 6)) % 2 ? 0.95 : 0.05;
    return [v, v, v];
  });
  for (const [name, patches] of [
    ["the same colours in another order", shuffled(PATCHES)],
    ["other colours", others],
    ["a grey copy", grey],
    ["channels exchanged", swapped],
    ["a chessboard", board],
    ["keys, all alike", PATCHES.map((): Triple => [0.1, 0.1, 0.11])],
  ] as const) {
    assert.equal(locateChart(draw({ ...base, charts: [{ toPx, patches }] })).found, false, name);
  }
});

test("a target of 42 patches that holds the same 24 is not taken for the chart, and it is said", () => {
  const own = seededRandom(10);
  const patches: Triple[] = [];
  for (let r = 0; r < 6; r++) {
    for (let c = 0; c < 7; c++) {
      patches.push(r >= 1 && r <= 4 && c < 6 ? PATCHES[(r - 1) * 6 + c]! : [own(), own(), own()]);
    }
  }
  const toPx = cellsToPx([
    [130, 70],
    [370, 70],
    [370, 214],
    [130, 214],
  ]);
  const located = locateChart(draw({ ...base, charts: [{ toPx, patches, columns: 7 }] }));
  assert.equal(located.found, false);
  assert.match(located.found ? "" : located.reason, /more than 24/);
});

test("blank, black, white, noisy and tiny pictures hold no chart", () => {
  const plain = (widthPx: number, heightPx: number, v: number) =>
    draw({ widthPx, heightPx, background: () => [v, v, v], charts: [], noise: 0, random });
  const noise = draw({ ...base, background: () => [0.5, 0.5, 0.5], charts: [], noise: 60 });
  for (const picture of [
    plain(300, 200, 0.5),
    plain(300, 200, 0),
    plain(300, 200, 1),
    noise,
    plain(1, 1, 0.4),
  ]) {
    assert.deepEqual(locateChart(picture), { found: false, reason: "no 24-patch colour chart was found" });
  }
});
