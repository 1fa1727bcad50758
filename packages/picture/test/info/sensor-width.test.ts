import assert from "node:assert/strict";
import { test } from "node:test";
import type { TagName } from "../../src/info/exif-tags.ts";
import { sensorWidthMm } from "../../src/info/sensor-width.ts";

function read(tags: Partial<Record<TagName, unknown>>, stored = { widthPx: 6000, heightPx: 4000 }) {
  const warnings: string[] = [];
  const values = new Map(Object.entries(tags) as [TagName, unknown][]);
  return { sensor: sensorWidthMm(values, stored, (said) => warnings.push(said)), warnings };
}

test("the focal plane resolution gives the width: 6000 px at 6485.1064 px per inch are 23.5 mm", () => {
  // reference/trade-facts.md, 6.4 (form published, example computed there).
  const { sensor, warnings } = read({
    pixelXDimension: 6000,
    pixelYDimension: 4000,
    focalPlaneXResolution: 6485.1064,
    focalPlaneResolutionUnit: 2,
  });
  assert.deepEqual(sensor, { value: 23.5, from: "focal plane resolution" });
  assert.deepEqual(warnings, []);
});

test("the unit: inch when missing, centimetre, others not used", () => {
  assert.equal(read({ focalPlaneXResolution: 6485.1064 }).sensor?.value, 23.5);
  assert.equal(read({ focalPlaneXResolution: 2553.1915, focalPlaneResolutionUnit: 3 }).sensor?.value, 23.5);
  for (const focalPlaneResolutionUnit of [0, 1, 4, 5, "2"]) {
    const { sensor, warnings } = read({ focalPlaneXResolution: 255.3, focalPlaneResolutionUnit });
    assert.equal(sensor, null);
    assert.equal(warnings.length, 1);
  }
});

test("the 35 mm equivalent compares diagonals: 100 mm for 50 mm halves the frame's", () => {
  // Half of 36 x 24 mm, same shape: 18 mm wide, by geometry.
  assert.deepEqual(read({ focalLength: 50, focalLengthIn35mmFilm: 100 }).sensor, {
    value: 18,
    from: "focal length and its 35 mm equivalent",
  });
  // A 4:3 sensor whose diagonal is half of 43.267 mm: 21.633 * 0.8 mm, by geometry.
  const fourThirds = read({ focalLength: 25, focalLengthIn35mmFilm: 50 }, { widthPx: 4000, heightPx: 3000 });
  assert.equal(fourThirds.sensor?.value, 17.307);
  assert.equal(read({ focalLength: 50, focalLengthIn35mmFilm: 0 }).sensor, null);
});

test("two ways that agree give the finer one; two that disagree give nothing", () => {
  const agreeing = read({ focalPlaneXResolution: 6485.1064, focalLength: 50, focalLengthIn35mmFilm: 75 });
  assert.deepEqual(agreeing.sensor, { value: 23.5, from: "focal plane resolution" });
  const disagreeing = read({ focalPlaneXResolution: 6485.1064, focalLength: 50, focalLengthIn35mmFilm: 50 });
  assert.equal(disagreeing.sensor, null);
  assert.match(disagreeing.warnings.join(), /23\.5 mm .* 36 mm .* disagree/);
});

test("implausible widths, digital zoom and cropped pictures give nothing, and say why", () => {
  for (const [tags, says] of [
    [{ focalPlaneXResolution: 72 }, /not between 3 and 70/],
    [{ focalPlaneXResolution: 4438356, pixelXDimension: 100, pixelYDimension: 67 }, /not between 3 and 70/],
    [{ focalPlaneXResolution: 6485.1, digitalZoomRatio: 2 }, /Digital zoom 2/],
    [{ focalPlaneXResolution: 6485.1, pixelXDimension: 6000, pixelYDimension: 6000 }, /cropped since/],
  ] as const) {
    const { sensor, warnings } = read(tags);
    assert.equal(sensor, null);
    assert.match(warnings.join(), says);
  }
  assert.equal(read({ focalPlaneXResolution: 6485.1064, digitalZoomRatio: 1 }).sensor?.value, 23.5);
});

test("a resized picture keeps the sensor of the size that the camera wrote, turned or not", () => {
  const tags = { pixelXDimension: 6000, pixelYDimension: 4000, focalPlaneXResolution: 6485.1064 };
  assert.equal(read(tags, { widthPx: 1500, heightPx: 1000 }).sensor?.value, 23.5);
  assert.equal(read(tags, { widthPx: 1000, heightPx: 1500 }).sensor?.value, 23.5);
});
