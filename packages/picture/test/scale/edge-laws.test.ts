import assert from "node:assert/strict";
import { test } from "node:test";
import { fitBentLattice } from "../../src/scale/edge/bent-lattice.ts";
import { fitLattice } from "../../src/scale/edge/lattice.ts";
import { joinedRuns, occupancy } from "../../src/scale/edge/runs.ts";

/** A pinhole 400 mm away sees millimetres along a line that leans by 30 degrees: places in px, by similar triangles. */
const leaning = (k: number): number => (2000 * k * Math.cos(Math.PI / 6)) / (400 + k * Math.sin(Math.PI / 6));

/** The same of a ruler that is arched by 6 mm over 200 mm: a circle through its ends. */
function arched(k: number): number {
  const radius = (100 * 100 + 6 * 6) / (2 * 6);
  const angle = k / radius;
  const [along, up] = [radius * Math.sin(angle), radius * (1 - Math.cos(angle))];
  const [c, s] = [Math.cos(Math.PI / 6), Math.sin(Math.PI / 6)];
  return (2000 * (along * c + up * s)) / (400 + along * s - up * c);
}

const range = (from: number, to: number): number[] =>
  Array.from({ length: to - from + 1 }, (_, i) => from + i);

test("an arched ruler leaves the projective law and is followed by the bent one", () => {
  const numbers = range(-100, 100);
  const places = numbers.map(arched);
  const flat = fitLattice(numbers, places)!;
  const bent = fitBentLattice(numbers, places)!;
  assert.ok(flat.rmsPx > 10 * bent.rmsPx, `${flat.rmsPx} and ${bent.rmsPx} px`);
  for (const k of [-80, -20, 0, 45, 90]) {
    const spacing = (arched(k + 0.01) - arched(k - 0.01)) / 0.02;
    assert.ok(Math.abs(bent.spacing(k) / spacing - 1) < 0.002, `${k}: ${bent.spacing(k)} for ${spacing}`);
  }
});

test("bars beyond a finger are numbered on, when they fall where the others promise them", () => {
  const bar = (k: number, number = k) => ({ k: number, s: leaning(k), contrast: 30 });
  // Behind the finger the phase has slipped by two.
  const all = [...range(0, 40).map((k) => bar(k)), ...range(58, 80).map((k) => bar(k, k - 2))];
  const joined = joinedRuns(all);
  assert.deepEqual(
    joined.map((g) => g.k),
    [...range(0, 40), ...range(58, 80)],
  );
  assert.equal(occupancy(joined), 64 / 64);
});

test("bars that stand between the promised places are another thing's", () => {
  const bar = (k: number) => ({ k: Math.round(k), s: leaning(k), contrast: 30 });
  const all = [...range(0, 40).map(bar), ...range(58, 80).map((k) => bar(k + 0.45))];
  assert.deepEqual(
    joinedRuns(all).map((g) => g.k),
    range(0, 40),
  );
});
