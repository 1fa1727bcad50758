import assert from "node:assert/strict";
import { test } from "node:test";
import { seededRandom } from "@samescale/geometry";
import fc from "fast-check";
import { locateChart } from "../../src/colour/chart/locate-chart.ts";
import { CHART24, publishedLabD50 } from "../../src/colour/chart24.ts";
import { chooseCorrection } from "../../src/colour/choose-correction.ts";
import { correctPicture } from "../../src/colour/correct-picture.ts";
import { type Correction, corrected, TERMS, termsOf, toned } from "../../src/colour/correction.ts";
import { exposureStops, lightOverChart } from "../../src/colour/light.ts";
import { type MeasuredChart, measureChart } from "../../src/colour/measure-chart.ts";
import { labD50ToLinear, linearToSrgb, type Triple } from "../../src/colour/space.ts";
import { busy, cellsToPx, type Drawing, draw } from "./drawn-chart.ts";

test("root-polynomial terms scale with exposure: terms(k rgb) = k terms(rgb)", () => {
  const light = fc.double({ min: 0, max: 1, noNaN: true });
  fc.assert(
    fc.property(light, light, light, fc.double({ min: 0.01, max: 8, noNaN: true }), (r, g, b, k) => {
      const once = termsOf("root-polynomial", [r, g, b]);
      const scaled = termsOf("root-polynomial", [k * r, k * g, k * b]);
      assert.equal(once.length, TERMS["root-polynomial"].length);
      for (const [i, term] of once.entries())
        assert.ok(Math.abs(scaled[i]! - k * term) <= 1e-9 * (1 + k * term));
    }),
  );
});

test("the tone curve leaves black and white where they are and never turns back for the curves fitted", () => {
  for (const exponent of [0.45, 0.7, 1, 1.6, 2]) {
    for (const s of [-0.3, 0, 0.5, 1.2]) {
      const tone = { exponent, s };
      assert.equal(toned(0, tone), 0);
      assert.ok(Math.abs(toned(1, tone) - 1) < 1e-12);
      for (let v = 0; v < 1; v += 0.01)
        assert.ok(toned(v + 0.01, tone) > toned(v, tone), `${exponent}, ${s}, ${v}`);
    }
  }
});

/** The patches as a camera with this matrix and tone would show them, exactly. */
function seenBy(matrix: readonly Triple[], tone: (v: number) => number) {
  return CHART24.map(({ labD50 }) => {
    const [r, g, b] = labD50ToLinear(labD50["after-2014"]);
    const mixed = matrix.map((row) => Math.min(1, Math.max(0, row[0] * r + row[1] * g + row[2] * b)));
    const coded = mixed.map((v) => tone(linearToSrgb(v)));
    return { coded: [coded[0]!, coded[1]!, coded[2]!] as Triple, labD50: labD50["after-2014"] };
  });
}

const CAST: readonly Triple[] = [
  [0.7, 0.12, 0.02],
  [0.08, 0.62, 0.06],
  [0.02, 0.15, 0.5],
];

test("a camera that mixes channels linearly is undone exactly, by the linear correction", () => {
  const chosen = chooseCorrection(seenBy(CAST, (v) => v));
  assert.equal(chosen.correction.kind, "linear");
  assert.ok(chosen.after.max < 0.05 && chosen.crossValidated.max < 0.1);
});

test("a camera with a contrast curve of its own is undone by tone and matrix", () => {
  // smoothstep mixed in: not one of the curves that are fitted
  const contrast = (v: number) => 0.5 * v + 0.5 * (3 * v * v - 2 * v ** 3);
  const chosen = chooseCorrection(seenBy(CAST, contrast));
  assert.ok(chosen.crossValidated.mean < 1, `${chosen.crossValidated.mean}`);
  assert.ok(chosen.correction.tone.s > 0.1);
});

test("leaving a patch out never looks better than fitting it", () => {
  const random = seededRandom(81);
  const noisy = seenBy(CAST, (v) => v).map((p) => ({
    ...p,
    coded: p.coded.map((v) => Math.min(1, Math.max(0, v + 0.02 * (random() - 0.5)))) as unknown as Triple,
  }));
  const chosen = chooseCorrection(noisy);
  assert.ok(chosen.crossValidated.mean > chosen.after.mean);
});

const random = seededRandom(82);
const base: Omit<Drawing, "charts"> = { widthPx: 480, heightPx: 340, background: busy, random };
const toPx = cellsToPx([
  [110, 80],
  [370, 90],
  [365, 246],
  [106, 236],
]);

function measured(drawing: Partial<Drawing>): MeasuredChart {
  const picture = draw({ ...base, charts: [{ toPx }], ...drawing });
  const located = locateChart(picture);
  assert.ok(located.found);
  const chart = measureChart(picture, located.chart, publishedLabD50("after-2014"));
  assert.ok(!("reason" in chart));
  return chart;
}

const leftOut = (chart: MeasuredChart) =>
  chart.patches.filter((p) => p.leftOut !== null).map((p) => `${p.name}: ${p.leftOut}`);

test("the drawn chart as it is needs next to nothing; one stop under is said to be one stop under", () => {
  const asIs = measured({});
  // 8 bits and noise of 1 code value; cyan lies outside sRGB and was clipped in the drawing
  assert.ok(asIs.crossValidated.mean < 1 && asIs.before.mean < 1);
  assert.ok(Math.abs(exposureStops(asIs.patches)!) < 0.05);
  assert.ok(lightOverChart(asIs.patches, asIs.correction).falloff < 0.03);
  const under = measured({ camera: ([r, g, b]) => [r / 2, g / 2, b / 2] });
  assert.ok(Math.abs(exposureStops(under.patches)! + 1) < 0.05);
  assert.ok(under.crossValidated.mean < 1 && under.before.mean > 8);
});

test("light that falls off over the chart is measured", () => {
  // e-fold along x chosen so that the middles of the outer columns differ by 40 %
  const fall = Math.log(1.4) / 260;
  const chart = measured({
    camera: ([r, g, b], x) => {
      const k = 0.8 * Math.exp(-fall * (x - 110));
      return [k * r, k * g, k * b];
    },
  });
  assert.ok(Math.abs(lightOverChart(chart.patches, chart.correction).falloff - 0.4) < 0.06);
});

test("a covered patch and burnt-out ones are left out by name, the rest is still right", () => {
  // a finger of skin colour over patch 11, yellow green; two stops over burns the light patches out
  const finger = (x: number, y: number) => Math.hypot(x - 316, y - 140) < 24;
  const covered = measured({ camera: (k, x, y) => (finger(x, y) ? [0.5, 0.25, 0.18] : k) });
  // cyan lies outside sRGB: drawn, its red stands at 0 and is lost as well
  assert.deepEqual(leftOut(covered), ["yellow green: covered or in glare", "cyan: a channel at zero"]);
  assert.ok(covered.crossValidated.mean < 1);
  const over = measured({ camera: ([r, g, b]) => [1.6 * r, 1.6 * g, 1.6 * b] });
  assert.ok(leftOut(over).includes("white 9.5: burnt out"));
  assert.ok(over.crossValidated.mean < 1.5);
});

test("the whole picture at table speed equals the formula to one code value", () => {
  for (const kind of ["linear", "root-polynomial"] as const) {
    const correction: Correction = {
      kind,
      matrix: TERMS[kind].length === 3 ? CAST : CAST.map((row) => [...row, 0.05, -0.03, 0.04]),
      tone: { exponent: 0.8, s: 0.4 },
    };
    const rgb = Uint8Array.from({ length: 3000 }, () => Math.floor(256 * random()));
    const whole = correctPicture({ widthPx: 1000, heightPx: 1, rgb }, correction);
    for (let i = 0; i < rgb.length; i += 3) {
      const want = corrected(correction, [rgb[i]! / 255, rgb[i + 1]! / 255, rgb[i + 2]! / 255]);
      for (const c of [0, 1, 2] as const) {
        const code = 255 * linearToSrgb(Math.min(1, Math.max(0, want[c])));
        assert.ok(Math.abs(whole.rgb[i + c]! - code) <= 1);
      }
    }
  }
});
