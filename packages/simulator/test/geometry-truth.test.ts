import assert from "node:assert/strict";
import { test } from "node:test";
import { applyHomography, imagePoint, invertHomography, leanFromHomography } from "@samescale/geometry";
import { imageDistanceMm, magnificationFromPicture, objectDistanceMm } from "@samescale/optics";
import fc from "fast-check";
import { viewOf } from "../src/camera/view.ts";
import { lensOf, standardCamera } from "../src/index.ts";
import { carrierOf } from "../src/surface/carrier.ts";
import { rigidPose, wrappedPose } from "../src/surface/pose.ts";
import { take } from "./support.ts";

const TINY = { widthPx: 90, heightPx: 60 };
const INCH_MM = 25.4; // exactly, by definition (international yard and pound agreement, 1959)

test("object and image distance in focus are those of the optics package", () => {
  for (const [focalMm, magnification] of [
    [100, 0.25],
    [60, 1],
    [105, 0.1],
  ] as const) {
    const lens = lensOf(standardCamera({ focalMm, magnification }));
    assert.ok(Math.abs(lens.objectMm - objectDistanceMm(focalMm, magnification)) < 1e-9);
    assert.ok(Math.abs(lens.imageMm - imageDistanceMm(focalMm, magnification)) < 1e-9);
  }
});

test("with the focus off, the lens equation holds at the sharp plane and the ratio at the target", () => {
  fc.assert(
    fc.property(
      fc.double({ min: 0.05, max: 1.2, noNaN: true }),
      fc.double({ min: -20, max: 60, noNaN: true }),
      (m, d) => {
        const lens = lensOf(standardCamera({ magnification: m, focusOffsetMm: d }));
        assert.ok(Math.abs(1 / lens.focusMm + 1 / lens.imageMm - 1 / 100) < 1e-12);
        assert.ok(Math.abs(lens.imageMm / lens.objectMm - m) < 1e-12);
        assert.ok(Math.abs(lens.focusMm - lens.objectMm - d) < 1e-9);
      },
    ),
  );
});

test("square on, the ticks of a scale tell the ratio that the camera was set to", async () => {
  const scale = {
    kind: "straight-scale",
    placement: { xMm: 3, yMm: 2, rotateDeg: 33 },
    lengthMm: 50,
    edges: ["mm"],
  } as const;
  for (const magnification of [0.1, 0.25, 1]) {
    const { truth } = await take({ things: [scale] }, { ...TINY, magnification });
    const { ticks, pxPerMm } = truth.things[0]!.edges[0]!;
    const [a, b] = [ticks[7]!, ticks[41]!];
    const measured = Math.hypot(b.px[0] - a.px[0], b.px[1] - a.px[1]) / (b.mm - a.mm);
    assert.ok(Math.abs(magnificationFromPicture(measured, 36, TINY.widthPx) / magnification - 1) < 1e-9);
    assert.ok(Math.abs(pxPerMm / measured - 1) < 1e-7); // a small difference quotient
  }
});

test("a scale above the surface is larger by u / (u - h)", async () => {
  const at = { xMm: 0, yMm: 0 };
  const scale = { kind: "straight-scale", lengthMm: 50, edges: ["mm"] } as const;
  const { truth } = await take(
    {
      things: [
        { ...scale, placement: at },
        { ...scale, placement: { ...at, heightMm: 12 } },
      ],
    },
    TINY,
  );
  const [low, high] = truth.things.map((thing) => thing.edges[0]!.pxPerMm) as [number, number];
  // f 100 mm at 1:4 stands 500 mm away (trade-facts table 1.3).
  assert.ok(Math.abs(high / low - 500 / 488) < 1e-7);
});

test("an edge divided in parts of an inch keeps the inch", async () => {
  for (const [edge, parts] of [
    ["inch/8", 8],
    ["inch/10", 10],
    ["inch/16", 16],
    ["inch/32", 32],
  ] as const) {
    const scale = {
      kind: "straight-scale",
      placement: { xMm: 0, yMm: 0 },
      lengthMm: 80,
      edges: [edge],
    } as const;
    const { truth } = await take({ things: [scale] }, TINY);
    const { ticks, unit } = truth.things[0]!.edges[0]!;
    assert.equal(unit, "inch");
    assert.ok(Math.abs(ticks[parts * 3]!.mm - 3 * INCH_MM) < 1e-9, edge);
    const px = Math.hypot(ticks[parts]!.px[0] - ticks[0]!.px[0], ticks[parts]!.px[1] - ticks[0]!.px[1]);
    assert.ok(Math.abs(px - (INCH_MM * 0.25 * TINY.widthPx) / 36) < 1e-9, edge);
    // The hierarchy: whole inches longest.
    assert.ok(ticks[parts]!.rank > ticks[parts / 2]!.rank && ticks[parts / 2]!.rank > ticks[1]!.rank);
  }
});

test("the lean in the truth is the one that the geometry package reads from the homography", async () => {
  for (const [leanXDeg, leanYDeg, rollDeg] of [
    [20, 0, 0],
    [0, -13, 8],
    [9, -7.965, 31],
  ] as const) {
    const { truth } = await take({}, { ...TINY, leanXDeg, leanYDeg, rollDeg });
    const [cx, cy] = truth.camera.principalPointPx;
    const pxToMm = invertHomography(truth.surface.homographyMmToPx);
    const lean = leanFromHomography(pxToMm, imagePoint(cx, cy), truth.camera.focalPx);
    assert.ok(lean.ok);
    assert.ok(Math.abs(lean.tiltDeg - truth.surface.leanDeg) < 1e-6);
    assert.ok(Math.abs(lean.tiltDirectionDeg - truth.surface.recedesTowardsDeg!) < 1e-6);
    assert.ok(Math.abs(lean.distanceMm - truth.camera.objectDistanceMm * 1) < 1e-6 * 500);
  }
  const { truth } = await take({}, { ...TINY, leanXDeg: 12 });
  assert.ok(Math.abs(truth.surface.leanDeg - 12) < 1e-9);
  assert.ok(Math.abs(truth.surface.recedesTowardsDeg! - 90) < 1e-9, "the lower edge recedes");
});

test("the px/mm field is the derivative of the homography, and its middle the px/mm at the target", async () => {
  const { truth } = await take({}, { ...TINY, leanXDeg: 14, leanYDeg: -7, rollDeg: 20 });
  const h = truth.surface.homographyMmToPx;
  assert.equal(truth.surface.scaleField.length, 25);
  for (const { px, mm, pxPerMm, pxPerMmX } of truth.surface.scaleField) {
    const [x, y] = mm;
    const w = h[2][0] * x + h[2][1] * y + h[2][2];
    // det of the derivative of (h1/w, h2/w) is det(H) / w³ (Hartley and Zisserman, from memory).
    const det =
      h[0][0] * (h[1][1] * h[2][2] - h[1][2] * h[2][1]) -
      h[0][1] * (h[1][0] * h[2][2] - h[1][2] * h[2][0]) +
      h[0][2] * (h[1][0] * h[2][1] - h[1][1] * h[2][0]);
    assert.ok(Math.abs(pxPerMm / Math.sqrt(det / w ** 3) - 1) < 1e-6);
    const dx = [(h[0][0] - h[2][0] * px[0]) / w, (h[1][0] - h[2][0] * px[1]) / w] as const;
    assert.ok(Math.abs(pxPerMmX / Math.hypot(...dx) - 1) < 1e-6);
  }
  assert.ok(Math.abs(truth.surface.scaleField[12]!.pxPerMm / truth.surface.pxPerMm - 1) < 1e-6);
  // The lens stands at the object distance from the target.
  assert.ok(Math.abs(Math.hypot(...truth.camera.lensPositionMm) - 500) < 1e-9);
});

test("a thing's homography takes its millimetres to the pixels of its ticks", async () => {
  const scale = {
    kind: "straight-scale",
    placement: { xMm: 8, yMm: -5, rotateDeg: 70, tiltXDeg: 9 },
    lengthMm: 40,
    edges: ["mm"],
  } as const;
  const { truth } = await take({ things: [scale] }, { ...TINY, leanXDeg: 15, leanYDeg: 6, rollDeg: -20 });
  const thing = truth.things[0]!;
  for (const tick of thing.edges[0]!.ticks) {
    // Placed by its middle, 22 mm wide; the shortest tick's middle lies 1.5 mm from the edge.
    const p = applyHomography(thing.homographyMmToPx!, { x: tick.mm - 20, y: -11 + 1.5 });
    assert.ok(Math.hypot(p.x - tick.px[0], p.y - tick.px[1]) < 1e-9);
  }
});

test("a mirror's things are left-right reversed: their homography turns over", async () => {
  const scale = {
    kind: "straight-scale",
    placement: { xMm: 0, yMm: 0 },
    lengthMm: 20,
    edges: ["mm"],
  } as const;
  const mirror = {
    kind: "mirror",
    placement: { xMm: 300, yMm: 0 },
    widthMm: 60,
    heightMm: 40,
    reflects: { xMm: 0, yMm: 0 },
  } as const;
  const { truth } = await take({ things: [scale, mirror] }, { ...TINY, targetMm: { x: 300, y: 0 } });
  const [direct, , reflected] = truth.things;
  assert.deepEqual([direct!.mirrored, reflected!.mirrored], [false, true]);
  const xs = reflected!.edges[0]!.ticks.map(({ px }) => px[0]);
  assert.ok(
    xs.every((x, i) => i === 0 || x < xs[i - 1]!),
    "mm grows to the left",
  );
  assert.ok(reflected!.edges[0]!.ticks.every(({ inPicture }) => inPicture));
  assert.ok(Math.abs(reflected!.edges[0]!.pxPerMm - direct!.edges[0]!.pxPerMm) < 1e-7, "same magnification");
});

test("surface to picture and back meet again, on planes, cylinders and through distortion", () => {
  const out = new Float64Array(3);
  const back = new Float64Array(2);
  fc.assert(
    fc.property(
      fc.record({
        lean: fc.double({ min: -30, max: 30, noNaN: true }),
        roll: fc.double({ min: -180, max: 180, noNaN: true }),
        k1: fc.double({ min: -0.05, max: 0.05, noNaN: true }),
        radiusMm: fc.constantFrom(0, 40, 120),
        x: fc.double({ min: -30, max: 30, noNaN: true }),
        y: fc.double({ min: -18, max: 18, noNaN: true }),
      }),
      ({ lean, roll, k1, radiusMm, x, y }) => {
        const view = viewOf(
          standardCamera({ leanXDeg: lean, leanYDeg: lean / 2, rollDeg: roll, radialK1: k1 }),
        );
        const surface =
          radiusMm === 0
            ? ({ shape: "plane" } as const)
            : ({ shape: "cylinder", radiusMm, axisDeg: 25 } as const);
        const carrier = carrierOf(surface, view);
        for (const pose of [
          wrappedPose(view, carrier, { xMm: 2, yMm: 1, rotateDeg: 40 }),
          rigidPose(view, carrier, { xMm: 2, yMm: 1, rotateDeg: 40, heightMm: 5, tiltYDeg: 8 }),
        ]) {
          pose.project(x / 2, y / 2, out);
          assert.ok(pose.unproject(out[0]!, out[1]!, back));
          // The distortion is undone by a table of 4096 steps.
          assert.ok(Math.hypot(back[0]! - x / 2, back[1]! - y / 2) < (k1 === 0 ? 1e-6 : 1e-4));
        }
      },
    ),
  );
});

test("distortion moves a corner of the frame by k1 and leaves the middle", async () => {
  const { truth } = await take(
    {
      things: [
        { kind: "disc", placement: { xMm: -72, yMm: -48 }, diameterMm: 0.001, rgb: [0, 0, 0] },
        { kind: "disc", placement: { xMm: 0, yMm: 0 }, diameterMm: 0.001, rgb: [0, 0, 0] },
      ],
    },
    { ...TINY, radialK1: -0.02 },
  );
  // At 1:4 a corner of the 36 x 24 mm frame lies 72 and 48 mm from the middle; 2 % nearer to the centre (45, 30).
  const [corner, middle] = truth.things.map((thing) => thing.regions[0]!.outlinePx[0]!);
  assert.ok(Math.hypot(corner![0] - 45 * 0.02, corner![1] - 30 * 0.02) < 0.01);
  assert.ok(Math.hypot(middle![0] - 45, middle![1] - 30) < 0.01);
});

test("on a cylinder a mark appears where the ray to the curved surface says", async () => {
  const radiusMm = 45;
  const { truth } = await take(
    {
      surface: { shape: "cylinder", radiusMm, axisDeg: 0 },
      things: [{ kind: "disc", placement: { xMm: 0, yMm: 30 }, diameterMm: 0.002, rgb: [0, 0, 0] }],
    },
    TINY,
  );
  const [, y] = truth.things[0]!.regions[0]!.outlinePx[0]!;
  const angle = 30 / radiusMm;
  const expected =
    30 + (truth.camera.focalPx * radiusMm * Math.sin(angle)) / (500 + radiusMm * (1 - Math.cos(angle)));
  assert.ok(Math.abs(y - expected) < 1e-3);
});

test("a region on a cylinder keeps its area on the surface and loses some as a chord", async () => {
  const radiusMm = 40;
  const r = 20;
  const disc = { kind: "disc", placement: { xMm: 0, yMm: 0 }, diameterMm: 2 * r, rgb: [0, 0, 0] } as const;
  const { truth } = await take(
    { surface: { shape: "cylinder", radiusMm, axisDeg: 0 }, things: [disc] },
    TINY,
  );
  const region = truth.things[0]!.regions[0]!;
  assert.ok(Math.abs(region.areaMm2 / (Math.PI * r * r) - 1) < 1e-9);
  // Strips across the axis at arc t have length 2 sqrt(r² - t²) and are seen foreshortened by cos(t / R).
  let chord = 0;
  const n = 20_000;
  for (let i = 0; i < n; i++) {
    const t = -r + (2 * r * (i + 0.5)) / n;
    chord += 2 * Math.sqrt(r * r - t * t) * Math.cos(t / radiusMm) * ((2 * r) / n);
  }
  assert.ok(Math.abs(region.chordAreaMm2 / chord - 1) < 2e-4, `${region.chordAreaMm2} against ${chord}`);
  assert.ok(region.chordAreaMm2 < region.areaMm2 * 0.98);
});

test("a bowed scale keeps the distance along its edge", async () => {
  const scale = {
    kind: "straight-scale",
    placement: { xMm: 0, yMm: 0 },
    lengthMm: 100,
    widthMm: 0.001,
    edges: ["mm-equal"],
    bowMm: 6,
    style: { numerals: "none" },
  } as const;
  const { truth } = await take({ things: [{ ...scale, marginMm: 0 }] }, TINY);
  const { ticks } = truth.things[0]!.edges[0]!;
  const steps = ticks
    .slice(1)
    .map((tick, i) => Math.hypot(tick.px[0] - ticks[i]!.px[0], tick.px[1] - ticks[i]!.px[1]));
  const mean = steps.reduce((a, b) => a + b, 0) / steps.length;
  assert.ok(Math.max(...steps) - Math.min(...steps) < mean * 1e-6, "all steps alike");
  const ends = Math.hypot(ticks[100]!.px[0] - ticks[0]!.px[0], ticks[100]!.px[1] - ticks[0]!.px[1]);
  assert.ok(ends < mean * 99.5, "the chord is shorter than the arc");
});
