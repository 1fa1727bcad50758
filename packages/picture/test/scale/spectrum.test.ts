import assert from "node:assert/strict";
import { test } from "node:test";
import { seededRandom } from "@samescale/geometry";
import { fitLattice } from "../../src/scale/edge/lattice.ts";
import { createTileSpectrum, TILE } from "../../src/scale/search/tile-spectrum.ts";

test("the fast spectrum equals the sum that defines it", () => {
  const random = seededRandom(5);
  const width = 70;
  const image = Float32Array.from({ length: width * 66 }, () => random() - 0.5);
  const spectrum = createTileSpectrum();
  spectrum.transform(image, width, 3, 1);
  const hann = (i: number) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / TILE);
  for (const [kx, ky] of [
    [0, 0],
    [1, 0],
    [0, 1],
    [3, 5],
    [10, 60],
    [31, 1],
    [32, 32],
  ] as const) {
    let re = 0;
    let im = 0;
    for (let y = 0; y < TILE; y++) {
      for (let x = 0; x < TILE; x++) {
        const v = image[(y + 1) * width + x + 3]! * hann(x) * hann(y);
        const a = (-2 * Math.PI * (kx * x + ky * y)) / TILE;
        re += v * Math.cos(a);
        im += v * Math.sin(a);
      }
    }
    const expected = re * re + im * im;
    // Double precision over 4096 terms.
    assert.ok(Math.abs(spectrum.power[kx * TILE + ky]! - expected) <= 1e-9 * (expected + 1), `${kx},${ky}`);
  }
});

test("a projective row with a third of its points misplaced is fitted by the others", () => {
  const random = seededRandom(6);
  const [a, b, c] = [12.5, 300, 0.0012];
  const numbers = Array.from({ length: 60 }, (_, i) => i - 20);
  const places = numbers.map((k, i) => {
    const x = (a * k + b) / (c * k + 1);
    return i % 3 === 0 ? x + (random() - 0.5) * 30 : x + (random() - 0.5) * 0.02;
  });
  const lattice = fitLattice(numbers, places);
  assert.ok(lattice);
  for (const k of [-20, 0, 17, 39]) {
    assert.ok(Math.abs(lattice.at(k) - (a * k + b) / (c * k + 1)) < 0.02, `place of ${k}`);
    const slope = (a - b * c) / (c * k + 1) ** 2;
    assert.ok(Math.abs(lattice.spacing(k) / slope - 1) < 5e-4, `spacing at ${k}`);
  }
});

test("fewer than four graduations, or all in one place, are no lattice", () => {
  assert.equal(fitLattice([0, 1, 2], [0, 10, 20]), null);
  assert.equal(fitLattice([0, 1, 2, 3, 4], [5, 5, 5, 5, 5]), null);
});
