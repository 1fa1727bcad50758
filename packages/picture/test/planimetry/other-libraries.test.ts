import assert from "node:assert/strict";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import {
  areaOf,
  centroidOf,
  fittedEllipseOf,
  greatestLengthOf,
  type Point,
  perimeterOf,
  smooth,
} from "@samescale/geometry";
import { regionsOfMaskFile } from "../../src/planimetry/regions-of-mask.ts";

/**
 * Areas and lengths of the same polygons and masks by two general libraries, OpenCV and scikit-image, whose versions stand in
 * the file (made by scripts/reference/planimetry.py).
 */
interface Values {
  readonly polygons: readonly {
    readonly outline: readonly (readonly [number, number])[];
    readonly area: number;
    readonly perimeter: number;
    readonly length: number;
    readonly centroid: readonly [number, number];
  }[];
  readonly masks: readonly {
    readonly png: string;
    readonly area: number;
    readonly holes: number;
    readonly majorAxis: number;
    readonly minorAxis: number;
    readonly feretDiameterMax: number;
    readonly perimeterCrofton: number;
  }[];
}
const values = JSON.parse(
  readFileSync(new URL("./reference-values.json", import.meta.url), "utf8"),
) as Values;

const off = (value: number, reference: number) => Math.abs(value / reference - 1);

test("polygons: area, perimeter, greatest length and centroid as OpenCV has them (single precision)", () => {
  for (const reference of values.polygons) {
    const outline: Point[] = reference.outline.map(([x, y]) => ({ x, y }));
    assert.ok(off(areaOf({ outline, holes: [] }), reference.area) < 2e-6);
    assert.ok(off(perimeterOf(outline), reference.perimeter) < 2e-6);
    assert.ok(off(greatestLengthOf(outline).length, reference.length) < 2e-6);
    const { x, y } = centroidOf({ outline, holes: [] });
    assert.ok(Math.hypot(x - reference.centroid[0], y - reference.centroid[1]) < 0.01);
  }
});

test("masks: area and holes to the pixel, axes, greatest length and perimeter as scikit-image has them", async (t) => {
  const folder = mkdtempSync(join(tmpdir(), "samescale-masks-"));
  t.after(() => rmSync(folder, { recursive: true }));
  for (const [i, reference] of values.masks.entries()) {
    const file = join(folder, `${i}.png`);
    writeFileSync(file, Buffer.from(reference.png, "base64"));
    const [traced, ...more] = await regionsOfMaskFile(file, { widthPx: 260, heightPx: 220 });
    assert.equal(more.length, 0);
    const ring = (points: readonly (readonly [number, number])[]) => points.map(([x, y]) => ({ x, y }));
    const region = { outline: ring(traced!.outline), holes: traced!.holes.map(ring) };
    assert.equal(region.holes.length, reference.holes);
    assert.ok(off(areaOf(region), reference.area) < 1e-3, `area ${areaOf(region)} of ${reference.area}`);
    const { semiMajor, semiMinor } = fittedEllipseOf(region)!;
    assert.ok(off(2 * semiMajor, reference.majorAxis) < 0.003, `${2 * semiMajor} of ${reference.majorAxis}`);
    assert.ok(off(2 * semiMinor, reference.minorAxis) < 0.003, `${2 * semiMinor} of ${reference.minorAxis}`);
    // It runs through pixel centres on the way out, ours round the pixels: up to a pixel apart.
    const { length } = greatestLengthOf(region.outline);
    assert.ok(
      Math.abs(length - reference.feretDiameterMax) < 1.5,
      `${length} of ${reference.feretDiameterMax}`,
    );
    // Smoothed by 1.5 px as the measurement does; Crofton's count of crossings in four directions is good to about 2 %.
    const perimeter = [region.outline, ...region.holes].reduce(
      (sum, r) => sum + perimeterOf(smooth(r, 1.5).ring),
      0,
    );
    assert.ok(
      off(perimeter, reference.perimeterCrofton) < 0.04,
      `${perimeter} of ${reference.perimeterCrofton}`,
    );
  }
});
