import assert from "node:assert/strict";
import { test } from "node:test";
import {
  airyDiscMm,
  carryRatio,
  circleOfConfusionMm,
  closeUpDepthOfField,
  effectiveFNumber,
  exactDepthOfField,
  exposureFactor,
  exposureFactorStops,
  extensionMm,
  FRAME_36X24,
  fieldOf,
  flashFNumber,
  hyperfocalMm,
  imageDistanceMm,
  largestMagnificationForAiry,
  magnificationFromObjectDistance,
  objectDistanceMm,
  objectToImageMm,
  parseRatio,
  parseSensorSize,
  scaleAgainstPlaneBehind,
} from "../src/index.ts";
import { ABSENT, csvRows, halfLastDigit, referenceText } from "./reference.ts";

/*
 * Tables that others computed from the same formulas: they guard against slips of ours, they are not
 * published evidence.
 */

function agrees(computed: number | null, printed: string | undefined, what: string): void {
  assert.ok(printed !== undefined && computed !== null, what);
  // 1e-9: a printed value may lie on the rounding edge, as 90.3125 does.
  const tolerance = halfLastDigit(printed) + 1e-9;
  assert.ok(
    Math.abs(computed - Number(printed)) <= tolerance,
    `${what}: computed ${computed}, table ${printed}`,
  );
}

const closeUp = referenceText("closeup-optics.csv");
test("computed table of close-up optics, 55 lines of 13 figures", {
  skip: closeUp === null && ABSENT,
}, () => {
  const rows = csvRows(closeUp ?? "");
  assert.equal(rows.length, 55);
  for (const row of rows) {
    const focal = Number(row.f_mm);
    const m = parseRatio(row.ratio ?? "");
    const depth = (fNumber: number, cocMm: number) =>
      closeUpDepthOfField({ focalMm: null, magnification: m, fNumber, cocMm, pupilRatio: 1 }).totalMm;
    const figures: Readonly<Record<string, number>> = {
      m,
      object_dist_from_front_principal_plane_mm: objectDistanceMm(focal, m),
      image_dist_from_rear_principal_plane_mm: imageDistanceMm(focal, m),
      conjugate_sum_excl_hiatus_mm: objectToImageMm(focal, m, 0),
      extension_mm: extensionMm(focal, m),
      exposure_factor_P1: exposureFactor(m, 1),
      stops_P1: exposureFactorStops(m, 1),
      Neff_at_f11_P1: effectiveFNumber(11, m, 1),
      Neff_at_f16_P1: effectiveFNumber(16, m, 1),
      "Neff_at_f16_P0.8": effectiveFNumber(16, m, 0.8),
      "DOF_f11_c0.030_mm": depth(11, 0.03),
      "DOF_f16_c0.030_mm": depth(16, 0.03),
      "DOF_f16_c0.020_mm": depth(16, 0.02),
      airy_diam_um_f16_550nm: 1000 * airyDiscMm(effectiveFNumber(16, m, 1), 550),
    };
    for (const [name, value] of Object.entries(figures))
      agrees(value, row[name], `${focal} mm ${row.ratio} ${name}`);
  }
});

const depthText = referenceText("dof-worked.json");
test("computed depths of field: exact limits, hyperfocal and close-up form", {
  skip: depthText === null && ABSENT,
}, () => {
  const worked = JSON.parse(depthText ?? "{}") as Record<string, Record<string, number | null>>;
  assert.equal(Object.keys(worked).length, 7);
  for (const [name, expected] of Object.entries(worked)) {
    const [, focal, fNumber, coc, distance] = (/^(\d+)mm f\/(\d+) c([\d.]+) s(\d+)$/.exec(name) ?? []).map(
      Number,
    );
    assert.ok(focal && fNumber && coc && distance, name);
    const magnification = magnificationFromObjectDistance(focal, distance);
    const setup = { focalMm: focal, magnification, fNumber, cocMm: coc, pupilRatio: 1 };
    const exact = exactDepthOfField(setup);
    const hyperfocal = hyperfocalMm(focal, fNumber, coc);
    const figures: Readonly<Record<string, number | null>> = {
      H: hyperfocal,
      H_minus_f: hyperfocal - focal,
      near: exact.nearMm,
      far: exact.farMm,
      total: exact.totalMm,
      m: magnification,
      closeup_approx: closeUpDepthOfField(setup).totalMm,
    };
    for (const [key, value] of Object.entries(expected)) {
      if (value === null) assert.equal(figures[key], Number.POSITIVE_INFINITY, `${name} ${key}`);
      else agrees(figures[key] ?? null, String(value), `${name} ${key}`);
    }
  }
});

const fieldText = referenceText("fov-by-ratio.csv");
test("computed fields of six sensors at twenty ratios, and the ratios that keep the long side", {
  skip: fieldText === null && ABSENT,
}, () => {
  const rows = csvRows(fieldText ?? "");
  assert.equal(rows.length, 20);
  for (const row of rows) {
    const nominal = parseRatio(row.ratio_35mm ?? "");
    for (const [name, printed] of Object.entries(row)) {
      const field = /^([\d.x]+)_field_(long|short)_mm$/.exec(name);
      if (field) {
        const { widthMm, heightMm } = fieldOf(parseSensorSize(field[1] ?? ""), nominal);
        agrees(field[2] === "long" ? widthMm : heightMm, printed, `${row.ratio_35mm} ${name}`);
      }
      const kept = /^ratio_keeping_36mm_long_side_on_([\d.]+)$/.exec(name);
      if (kept) {
        const sensor = { widthMm: Number(kept[1]), heightMm: 10 };
        const carried = carryRatio(nominal, sensor, { keep: "field", side: "long" });
        agrees(1 / carried.magnification, printed.replace("1:", ""), `${row.ratio_35mm} ${name}`);
      }
    }
  }
});

test("computed check values of the trade notes: diffraction limits, circles of confusion, flash, depth planes", () => {
  const small = { widthMm: 23.5, heightMm: 15.6 };
  for (const [cocMm, fNumber, printed] of [
    [0.03, 8, "1.794"],
    [0.03, 11, "1.032"],
    [0.03, 16, "0.397"],
    [0.03, 22, "0.016"],
    [0.02, 8, "0.863"],
    [0.02, 11, "0.355"],
  ] as const) {
    agrees(largestMagnificationForAiry(fNumber, cocMm, 1, 550), printed, `f/${fNumber} c ${cocMm}`);
  }
  assert.equal(largestMagnificationForAiry(16, 0.02, 1, 550), null, "f/16 is past the limit at any ratio");
  agrees(circleOfConfusionMm(FRAME_36X24, "diagonal/1000"), "0.0433", "d/1000");
  agrees(circleOfConfusionMm(FRAME_36X24, "diagonal/1500"), "0.0288", "d/1500");
  agrees(circleOfConfusionMm(FRAME_36X24, "diagonal/1730"), "0.0250", "d/1730");
  agrees(circleOfConfusionMm(small, "diagonal/1000"), "0.0282", "small d/1000");
  agrees(circleOfConfusionMm(small, "diagonal/1500"), "0.0188", "small d/1500");
  agrees(circleOfConfusionMm(small, "diagonal/1730"), "0.0163", "small d/1730");
  agrees(flashFNumber(12, 500, 0.25, 1), "19.2", "GN 12, 0.5 m, 1:4");
  agrees(flashFNumber(12, 400, 0.5, 1), "20", "GN 12, 0.4 m, 1:2");
  agrees(flashFNumber(12, 300, 1, 1), "20", "GN 12, 0.3 m, 1:1");
  for (const [distance, printed] of [
    [305, "1.328"],
    [500, "1.200"],
    [1000, "1.100"],
    [1524, "1.066"],
    [2000, "1.050"],
  ] as const) {
    agrees(scaleAgainstPlaneBehind(distance, 100), printed, `planes at ${distance} mm`);
  }
  agrees(exposureFactorStops(1, 0.8), "2.34", "1:1 with pupil ratio 0.8");
});
