import assert from "node:assert/strict";
import { test } from "node:test";
import { renderPicture, standardCamera, standardScene, type Thing } from "@samescale/simulator";
import { greyOf } from "../../../src/decode/decode.ts";
import type { GreyPicture } from "../../../src/decode/picture.ts";
import { type FoundScales, readScale } from "../../../src/scale/read-scale.ts";

/**
 * Scales on rendered skin whose bars leave their unit open, read by what is written beside them. The truth is the
 * virtual camera's.
 */
type Straight = Extract<Thing, { kind: "straight-scale" }>;

interface Shown {
  readonly edge: Straight["edges"][0];
  readonly word?: boolean | string;
  readonly style?: Straight["style"];
  readonly mirrored?: boolean;
}

const PX_PER_MM = 7;
const camera = standardCamera({
  widthPx: 900,
  heightPx: 600,
  magnification: (PX_PER_MM * 36) / 900,
  leanXDeg: 9,
  leanYDeg: -6,
});

async function read({ edge, word = true, style = {}, mirrored = false }: Shown) {
  const scale: Straight = {
    kind: "straight-scale",
    placement: { xMm: 0, yMm: 6, rotateDeg: 8 },
    lengthMm: 110,
    edges: [edge],
    word,
    style,
  };
  const picture = await renderPicture({ scene: standardScene({ things: [scale] }), camera, seed: 5 });
  const grey = greyOf(picture);
  const { ticks } = picture.truth.things[0]!.edges[0]!;
  if (mirrored) mirror(grey.grey, grey.widthPx);
  return { reading: readScale(grey), ticks };
}

function mirror(grey: GreyPicture["grey"], widthPx: number): void {
  for (let at = 0; at < grey.length; at += widthPx) grey.subarray(at, at + widthPx).reverse();
}

function right(found: Awaited<ReturnType<typeof read>>, unit: string, mirrored = false): FoundScales {
  const { reading, ticks } = found;
  assert.ok(reading.found, reading.found ? "" : reading.reason);
  const [scale] = reading.scales;
  assert.equal(scale!.unit, unit);
  const at = mirrored ? { x: 900 - scale!.at.x, y: scale!.at.y } : scale!.at;
  const truth = ticks
    .slice(1)
    .map((b, i) => {
      const a = ticks[i]!;
      const [x, y] = [(a.px[0] + b.px[0]) / 2, (a.px[1] + b.px[1]) / 2];
      return {
        distance: Math.hypot(x - at.x, y - at.y),
        pxPerMm: Math.hypot(b.px[0] - a.px[0], b.px[1] - a.px[1]) / (b.mm - a.mm),
      };
    })
    .sort((a, b) => a.distance - b.distance)[0]!;
  assert.ok(
    Math.abs(scale!.pxPerMm.value / truth.pxPerMm - 1) < 0.003,
    `${scale!.pxPerMm.value}, ${truth.pxPerMm}`,
  );
  return reading;
}

for (const numerals of ["upright", "inverted", "along"] as const) {
  test(`eighths of an inch are read by their numerals: ${numerals}`, async () => {
    const reading = right(await read({ edge: "inch/8", style: { numerals } }), "inch");
    assert.deepEqual(reading.warnings, []);
    assert.equal(reading.scales[0]!.unitFrom, "numerals");
  });
}

test("graduations of one length are read by their numerals", async () => {
  const reading = right(await read({ edge: "mm-equal" }), "mm");
  assert.deepEqual(reading.warnings, []);
});

test("without numerals the same graduations are not read", async () => {
  for (const edge of ["inch/8", "mm-equal"] as const) {
    const { reading } = await read({ edge, style: { numerals: "none" } });
    assert.equal(reading.found, false);
  }
});

test("tenths of an inch are read as such where a word says inch", async () => {
  for (const word of ["in", "inch", "INCH"]) {
    const reading = right(await read({ edge: "inch/10", word, style: { numeralHeightMm: 3.2 } }), "inch");
    assert.deepEqual(reading.warnings, []);
  }
});

test("tenths of an inch without a word are warned of, and the interval holds the truth", async () => {
  const { reading, ticks } = await read({ edge: "inch/10", word: false });
  if (!reading.found) return;
  assert.ok(reading.warnings.length > 0);
  const { value, u95 } = reading.scales[0]!.pxPerMm;
  const truth =
    Math.hypot(ticks[20]!.px[0] - ticks[0]!.px[0], ticks[20]!.px[1] - ticks[0]!.px[1]) / ticks[20]!.mm;
  assert.ok(Math.abs(value - truth) <= 1.05 * u95);
});

test("millimetres numbered in centimetres and in millimetres, light on dark, are read alike", async () => {
  right(await read({ edge: "mm-by-ten", style: { polarity: "light-on-dark" } }), "mm");
  right(await read({ edge: "mm", style: { polarity: "light-on-dark" } }), "mm");
});

test("a mirrored scale is read, and said to be mirrored", async () => {
  const reading = right(await read({ edge: "mm", mirrored: true }), "mm", true);
  assert.ok(
    reading.warnings.some((w) => w.includes("mirror")),
    `${reading.warnings}`,
  );
});
