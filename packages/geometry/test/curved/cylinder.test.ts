import assert from "node:assert/strict";
import { test } from "node:test";
import fc from "fast-check";
import { arcOfChord, cross, dot, laidOut, plus, times, unit, type Vector3 } from "../../src/index.ts";
import { within } from "../support/arbitraries.ts";

test("a chord across a limb square to the camera is laid out as its arc", () => {
  for (const [radiusMm, chordMm, distanceMm] of [
    [50, 20, 500],
    [50, 60, 300],
    [40, 40, 1000],
    [30, 45, 400],
  ] as const) {
    const limb = { axisPoint: [0, 0, distanceMm + radiusMm], along: [0, 1, 0], radiusMm } as const;
    const sight = (x: number): Vector3 => [x, 0, distanceMm];
    const [left, right] = laidOut([sight(-chordMm / 2), sight(chordMm / 2)], limb)!;
    const arc = arcOfChord({ chordMm, radiusMm, distanceMm });
    assert.ok(arc.ok);
    assert.ok(Math.abs(Math.abs(right!.y - left!.y) - arc.arcMm) < 1e-9);
  }
});

test("there and back: places walked on a cylinder in any pose are laid out where they are", () => {
  const pose = fc.record({
    axis: fc.tuple(within(-1, 1), within(-1, 1), within(-0.6, 0.6)).filter((v) => dot(v, v) > 0.1),
    foot: fc.tuple(within(-80, 80), within(-80, 80), within(250, 1500)),
    radiusMm: within(15, 120),
    share: within(-0.98, 0.98),
    alongMm: within(-100, 100),
  });
  fc.assert(
    fc.property(pose, ({ axis, foot, radiusMm, share, alongMm }) => {
      const along = unit(axis as Vector3);
      const nearest = plus(foot as Vector3, times(along, -dot(foot as Vector3, along)));
      const distance = Math.sqrt(dot(nearest, nearest));
      fc.pre(distance > 1.5 * radiusMm);
      const towards = unit(nearest);
      const aside = cross(along, towards);
      // What is visible ends where the sight line touches: cos φ = R / D.
      const angle = share * Math.acos(radiusMm / distance);
      const round = plus(
        times(towards, -radiusMm * Math.cos(angle)),
        times(aside, radiusMm * Math.sin(angle)),
      );
      const place = plus(plus(nearest, times(along, alongMm)), round);
      fc.pre(place[2] > 10);
      const [laid] = laidOut([place], { axisPoint: foot as Vector3, along, radiusMm })!;
      assert.ok(Math.abs(laid!.x - alongMm) < 1e-6 && Math.abs(laid!.y - radiusMm * angle) < 1e-5 * radiusMm);
    }),
    { seed: 7 },
  );
});

test("beside the limb, behind the camera and inside the limb there is nothing to lay out", () => {
  const limb = { axisPoint: [0, 0, 500], along: [0, 1, 0], radiusMm: 50 } as const;
  assert.equal(laidOut([[60, 0, 500]], limb), null);
  assert.equal(laidOut([[0, 0, -1]], limb), null);
  assert.equal(laidOut([[0, 0, 1]], { ...limb, axisPoint: [0, 0, 40] }), null);
  assert.equal(laidOut([[Number.NaN, 0, 1]], limb), null);
});
