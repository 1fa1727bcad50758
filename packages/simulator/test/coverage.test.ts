import assert from "node:assert/strict";
import { test } from "node:test";
import fc from "fast-check";
import { circle, rect, signedArea } from "../src/artwork/shapes.ts";
import { gaussianKernel } from "../src/lens/blur.ts";
import { Coverage } from "../src/raster/coverage.ts";
import { letter, textWidthMm } from "../src/text/letter.ts";

const W = 24;
const H = 18;

function sharesOf(rings: readonly Float64Array[]): Float32Array {
  const coverage = new Coverage();
  coverage.open(0, 0, W, H);
  for (const ring of rings) coverage.add(ring);
  const out = new Float32Array(W * H);
  for (let y = 0; y < H; y++) coverage.row(y, out.subarray(y * W, (y + 1) * W));
  return out;
}

const total = (shares: Float32Array): number => shares.reduce((sum, share) => sum + share, 0);

/** The slow literal twin: 32 x 32 samples in each pixel. */
function bySampling(ring: Float64Array, column: number, row: number): number {
  let inside = 0;
  const n = 32;
  for (let j = 0; j < n; j++) {
    for (let i = 0; i < n; i++) if (holds(ring, column + (i + 0.5) / n, row + (j + 0.5) / n)) inside++;
  }
  return inside / (n * n);
}

function holds(ring: Float64Array, x: number, y: number): boolean {
  let inside = false;
  const n = ring.length;
  for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
    const [xi, yi, xj, yj] = [ring[i]!, ring[i + 1]!, ring[j]!, ring[j + 1]!];
    if (yi > y !== yj > y && x < ((xj - xi) * (y - yi)) / (yj - yi) + xi) inside = !inside;
  }
  return inside;
}

const point = fc.tuple(
  fc.double({ min: 1, max: W - 1, noNaN: true }),
  fc.double({ min: 1, max: H - 1, noNaN: true }),
);

test("the shares of a triangle add up to its area", () => {
  fc.assert(
    fc.property(point, point, point, (a, b, c) => {
      const ring = Float64Array.from([...a, ...b, ...c]);
      // Single precision over a row of 24 px; shares under 2e-5 are dropped.
      assert.ok(Math.abs(total(sharesOf([ring])) - Math.abs(signedArea(ring))) < 3e-3);
    }),
  );
});

test("each pixel's share is what sampling it finds", () => {
  fc.assert(
    fc.property(point, point, point, (a, b, c) => {
      const ring = Float64Array.from([...a, ...b, ...c]);
      const shares = sharesOf([ring]);
      for (const [x, y] of [a, b, c]) {
        const [column, row] = [Math.floor(x), Math.floor(y)];
        // 1024 samples tell a share to about 2 / 32 at worst along one edge.
        assert.ok(Math.abs(shares[row * W + column]! - bySampling(ring, column, row)) < 0.07);
      }
    }),
    { numRuns: 60 },
  );
});

test("the centre of gravity of a bar is its own, to a thousandth of a pixel", () => {
  for (const at of [7.13, 7.5, 7.77]) {
    // A bar whole pixels wide: the pixel grid's own error cancels, so only the coverage is seen.
    const shares = sharesOf([rect(at - 2, 3, at + 2, 9)]);
    let [weight, moment] = [0, 0];
    for (let x = 0; x < W; x++) {
      weight += shares[5 * W + x]!;
      moment += shares[5 * W + x]! * (x + 0.5);
    }
    assert.ok(Math.abs(moment / weight - at) < 1e-3);
  }
});

test("what lies outside the window counts for nothing, what reaches in is cut there", () => {
  assert.ok(Math.abs(total(sharesOf([rect(-10, -10, 5, 4)])) - 20) < 1e-3);
  assert.ok(Math.abs(total(sharesOf([rect(-50, -50, 90, 90)])) - W * H) < 1e-2);
  assert.equal(total(sharesOf([rect(30, 2, 40, 8)])), 0);
  assert.equal(total(sharesOf([rect(-9, 2, -4, 8)])), 0);
});

test("a circle drawn with corners has the area of the circle", () => {
  assert.ok(Math.abs(Math.abs(signedArea(circle(0, 0, 5))) - Math.PI * 25) < 1e-9);
});

test("letters stand upright and read from left to right", () => {
  for (const font of ["regular", "bold"] as const) {
    const shares = sharesOf(letter("L", 12, 9, { font, capHeightMm: 14 }));
    const sum = (keep: (x: number, y: number) => boolean): number =>
      shares.reduce((s, share, i) => s + (keep(i % W, Math.floor(i / W)) ? share : 0), 0);
    assert.ok(sum((x) => x < 12) > sum((x) => x >= 12), "the stem is at the left");
    assert.ok(sum((_, y) => y >= 12) > sum((_, y) => y < 6), "the foot is at the bottom");
  }
  assert.ok(textWidthMm("118", "regular", 3) > textWidthMm("11", "regular", 3));
});

test("a nought has a hole in every face", () => {
  for (const font of ["light", "regular", "bold", "slanted", "lines"] as const) {
    const shares = sharesOf(letter("O0"[font === "lines" ? 1 : 0]!, 12, 9, { font, capHeightMm: 14 }));
    assert.ok(shares[9 * W + 12]! < 0.05, font);
    assert.ok(total(shares) > 10, font);
  }
});

test("a blur kernel keeps light and has the variance asked for", () => {
  for (const variance of [0, 0.04, 0.2, 0.34, 0.36, 0.6, 1, 2.3, 5]) {
    const kernel = gaussianKernel(variance);
    let [sum, second] = [0, 0];
    kernel.forEach((weight, i) => {
      sum += weight * (i === 0 ? 1 : 2);
      second += 2 * weight * i * i;
    });
    assert.ok(Math.abs(sum - 1) < 1e-6, `${variance}: sum ${sum}`);
    // The table of kernels is kept in steps of 0.005 px².
    assert.ok(Math.abs(second - variance) < 0.003 + variance * 0.002, `${variance}: ${second}`);
  }
});
