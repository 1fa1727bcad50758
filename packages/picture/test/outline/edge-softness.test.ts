import assert from "node:assert/strict";
import { test } from "node:test";
import type { OutlineRegion, XY } from "../../src/answers.ts";
import { edgeUPx } from "../../src/outline/edge-softness.ts";

/** A disc of radius 80 px whose colour turns over `rampPx`, half of it on either side of the radius. */
function disc(
  rampPx: number,
  inside: readonly [number, number, number],
  outside: readonly [number, number, number],
) {
  const [widthPx, heightPx] = [300, 300];
  const rgb = new Uint8Array(widthPx * heightPx * 3);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      const r = Math.hypot(x + 0.5 - 150, y + 0.5 - 150);
      const share = Math.min(1, Math.max(0, rampPx === 0 ? Number(r > 80) : (r - 80) / rampPx + 0.5));
      for (let c = 0; c < 3; c++) {
        rgb[(y * widthPx + x) * 3 + c] = Math.round(
          (inside[c] as number) * (1 - share) + outside[c]! * share,
        );
      }
    }
  }
  return { widthPx, heightPx, rgb };
}

const circle = (radius: number, scale = 1): OutlineRegion => ({
  outline: Array.from({ length: 120 }, (_, i): XY => {
    const angle = (2 * Math.PI * i) / 120;
    return [(150 + radius * Math.cos(angle)) / scale, (150 + radius * Math.sin(angle)) / scale];
  }),
  holes: [],
});

const SKINS = { light: [224, 188, 165], brown: [141, 96, 72], dark: [74, 48, 38] } as const;
const WOUND = [120, 30, 34] as const;

for (const [name, skin] of Object.entries(SKINS)) {
  test(`a sharp edge on ${name} skin is placed to about a pixel`, () => {
    assert.ok(edgeUPx(circle(80), disc(0, WOUND, skin), 1) <= 1.5);
  });

  test(`an edge that turns over 24 px on ${name} skin is no better than half of that over the root of 3`, () => {
    const u = edgeUPx(circle(80), disc(24, WOUND, skin), 1);
    const EXPECTED = 12 / Math.sqrt(3);
    // Ends of the profile lie on the ramp's own ends, so that the seen change is a little less than the whole.
    assert.ok(u > 0.6 * EXPECTED && u < 1.3 * EXPECTED, String(u));
  });
}

test("a line drawn beside the edge is as doubtful as it is far", () => {
  const picture = disc(0, WOUND, SKINS.light);
  assert.ok(edgeUPx(circle(85), picture, 1) > 3.5);
  assert.ok(edgeUPx(circle(75), picture, 1) > 3.5);
});

test("in a reduced copy the doubt is told in pixels of the full-size picture", () => {
  const picture = disc(24, WOUND, SKINS.light);
  const whole = edgeUPx(circle(80), picture, 1);
  assert.ok(Math.abs(edgeUPx(circle(80, 0.25), picture, 0.25) - 4 * whole) < 1e-6);
});

test("where nothing changes across the line it may lie anywhere along the profile", () => {
  assert.ok(edgeUPx(circle(80), disc(0, SKINS.light, SKINS.light), 1) >= 3);
});
