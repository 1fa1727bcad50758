import assert from "node:assert/strict";
import { test } from "node:test";
import { areaChange, type SizeOnDay } from "../../src/index.ts";
import { shared } from "../support/shared.ts";

/** Worked examples of the linear advance of an edge, computed from its published formula. @source Gilman1990 */
const worked = shared("reference/healing-worked.json");
interface Worked {
  readonly A0: number;
  readonly P0: number;
  readonly A1: number;
  readonly P1: number;
  readonly days: number;
  readonly gilman_d_mm: number;
  readonly mm_per_week: number;
  readonly PAR_percent: number;
}

const known = (day: number, area: number, perimeter: number, u95 = 0): SizeOnDay => ({
  day,
  area: { value: area, u95: u95 * area },
  perimeter: { value: perimeter, u95: (u95 * perimeter) / 2 },
});

test("the worked examples of wounds that close and that grow", { skip: worked.skip }, () => {
  for (const [name, w] of Object.entries(worked.json<Record<string, Worked>>())) {
    const found = areaChange(known(0, w.A0, w.P0), known(w.days, w.A1, w.P1));
    assert.ok(Math.abs(found.edgeMm!.value - w.gilman_d_mm) < 1e-5, name);
    assert.ok(Math.abs(found.edgeMmPerWeek!.value - w.mm_per_week) < 1e-5, name);
    assert.ok(Math.abs(found.percent!.value + w.PAR_percent) < 1e-5, name);
  }
});

test("a disc that loses 1 mm all round: the edge moved by 1 mm whatever its size", () => {
  for (const r of [5, 20, 80]) {
    const disc = (radius: number, day: number) => known(day, Math.PI * radius ** 2, 2 * Math.PI * radius);
    assert.ok(Math.abs(areaChange(disc(r, 0), disc(r - 1, 7)).edgeMm!.value - 1) < 1e-9);
  }
});

test("the interval: independent errors add in quadrature, shared ones cancel", () => {
  const [a, b] = [known(0, 100, 36, 0.04), known(7, 100, 36, 0.04)];
  const apart = areaChange(a, b);
  assert.ok(Math.abs(apart.areaMm2.u95 - 4 * Math.SQRT2) < 1e-9);
  assert.equal(apart.isBeyondUncertainty, false);
  assert.ok(areaChange(a, b, { r: 1 }).areaMm2.u95 < 1e-9);
  assert.equal(areaChange(a, known(7, 90, 34, 0.04)).isBeyondUncertainty, true);
});

test("on the same day there is a change but no rate; from nothing there is no percentage", () => {
  const same = areaChange(known(3, 100, 36), known(3, 90, 34));
  assert.equal(same.areaMm2PerWeek, null);
  assert.equal(same.edgeMmPerWeek, null);
  const fromNothing = areaChange(known(0, 0, 0), known(7, 0, 0));
  assert.equal(fromNothing.percent, null);
  assert.equal(fromNothing.edgeMm, null);
});
