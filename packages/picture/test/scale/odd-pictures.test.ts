import assert from "node:assert/strict";
import { test } from "node:test";
import { seededRandom } from "@samescale/geometry";
import type { GreyPicture } from "../../src/decode/picture.ts";
import { sharp } from "../../src/decode/sharp.ts";
import { readScale } from "../../src/scale/read-scale.ts";
import { scaleOfFile } from "../../src/scale/scale-of-file.ts";
import { pictureFolder } from "../decode/pictures.ts";
import { MM, ruler } from "./drawings.ts";
import type { Drawing } from "./drawn-picture.ts";
import { errorPct, found, shoot } from "./reading.ts";

function filled(widthPx: number, heightPx: number, value: (i: number) => number): GreyPicture {
  return { widthPx, heightPx, grey: Float32Array.from({ length: widthPx * heightPx }, (_, i) => value(i)) };
}

test("pictures that hold nothing are answered, whatever their size", () => {
  const random = seededRandom(3);
  for (const [widthPx, heightPx] of [
    [1, 1],
    [1, 500],
    [2, 2],
    [10, 7],
    [20, 3000],
    [3000, 20],
    [64, 64],
    [63, 300],
    [400, 300],
  ] as const) {
    for (const value of [() => 0, () => 255, () => 127, () => 255 * random(), (i: number) => (i % 2) * 255]) {
      const reading = readScale(filled(widthPx, heightPx, value));
      assert.equal(reading.found, false, `${widthPx} x ${heightPx}`);
    }
  }
});

test("two points in any picture are answered, also on its very edge and outside", () => {
  const picture = filled(20, 15, () => 90);
  assert.ok(readScale(picture, { twoPoints: { from: [0, 0], to: [20, 15], lengthMm: 5 } }).found);
  const outside = readScale(picture, { twoPoints: { from: [0, 0], to: [21, 15], lengthMm: 5 } });
  assert.ok(!outside.found);
  assert.match(outside.reason, /20 x 15/);
});

test("a ruler that leaves the picture is read in the part that is seen", () => {
  const long = ruler({ pitchMm: 1, count: 400, classes: MM });
  const shown = shoot(long, { centreMm: [203, 3], heightPx: 160, rollDeg: 0 }, 4);
  const [scale] = found(shown.picture).scales;
  assert.ok(scale!.coverageMm > 95);
  assert.ok(errorPct(scale!.pxPerMm.value, 8) < 0.1);
});

test("a ruler of which barely two centimetres are seen is read or doubted, never wrong without a word", () => {
  for (const first of [0, 3, 6, 9]) {
    const drawn = ruler({ pitchMm: 1, count: 22, first, classes: MM });
    const shown = shoot(drawn, { centreMm: [11, 5], pxPerMm: 14, widthPx: 500, heightPx: 400 }, first + 1);
    const reading = readScale(shown.picture);
    if (!reading.found || reading.warnings.length > 0) continue;
    assert.ok(errorPct(reading.scales[0]!.pxPerMm.value, shown.truth(reading.scales[0]!)) < 0.5);
  }
});

/** Two gratings of nearly one pitch, turned against each other: bands that neither of them has. */
const moire =
  (pitch: number, other: number, turnDeg: number): Drawing =>
  (x, y) => {
    const a = (turnDeg * Math.PI) / 180;
    const first = Math.sin((2 * Math.PI * x) / pitch) > 0 ? 1 : 0;
    const second = Math.sin((2 * Math.PI * (x * Math.cos(a) + y * Math.sin(a))) / other) > 0 ? 1 : 0;
    return 60 + 150 * first * second;
  };

test("moire, gratings and rings are no scale without a word", () => {
  const patterns: Drawing[] = [
    moire(1, 1.07, 0),
    moire(1, 1, 4),
    moire(0.7, 0.77, 2),
    (x, y) => (Math.sin(2 * Math.PI * Math.hypot(x - 30, y - 5)) > 0 ? 210 : 60),
  ];
  for (const [i, pattern] of patterns.entries()) {
    const reading = readScale(shoot(pattern, { widthPx: 500, heightPx: 360 }, i + 1).picture);
    assert.ok(!reading.found || reading.warnings.length > 0, `pattern ${i}`);
  }
});

/** What a screen makes of a drawing: square picture elements of three upright stripes with dark gaps between them. */
const onScreen =
  (drawing: Drawing, elementMm: number): Drawing =>
  (x, y) => {
    const [i, j] = [Math.floor(x / elementMm), Math.floor(y / elementMm)];
    const [fx, fy] = [x / elementMm - i, y / elementMm - j];
    if (fy > 0.85) return 8;
    const stripe = [0.2126, 0.7152, 0.0722][Math.floor(3 * fx)]!;
    return 8 + 2.4 * stripe * drawing((i + 0.5) * elementMm, (j + 0.5) * elementMm);
  };

test("a scale shown on a screen is read, doubted or refused, never wrong without a word", () => {
  const drawn = ruler({ pitchMm: 1, count: 60, classes: MM, blotMm: 0 });
  let read = 0;
  for (const [elementMm, pxPerMm, rollDeg] of [
    [0.25, 8, 0],
    [0.25, 7.3, 3],
    [0.17, 10, 7],
    [0.1, 9, 2],
  ] as const) {
    const shown = shoot(
      onScreen(drawn, elementMm),
      { widthPx: 560, heightPx: 360, centreMm: [30, 6], pxPerMm, rollDeg },
      5,
    );
    const reading = readScale(shown.picture);
    if (!reading.found || reading.warnings.length > 0) continue;
    read++;
    // A tick is as wide as the screen's elements allow: its middle may lie half of one off, the mean much less.
    assert.ok(
      errorPct(reading.scales[0]!.pxPerMm.value, shown.truth(reading.scales[0]!)) < 0.5,
      `${elementMm}`,
    );
  }
  assert.ok(read >= 2, `${read} of 4 read`);
});

test("a picture made through a mirror gives the same pixels per millimetre", () => {
  const { picture } = shoot(
    ruler({ pitchMm: 1, count: 80, classes: MM }),
    { widthPx: 760, heightPx: 300 },
    6,
  );
  const { widthPx, heightPx, grey } = picture;
  const mirrored = filled(widthPx, heightPx, (i) => grey[i - (i % widthPx) + widthPx - 1 - (i % widthPx)]!);
  const [straight, turned] = [found(picture).scales[0]!, found(mirrored).scales[0]!];
  assert.ok(errorPct(turned.pxPerMm.value, straight.pxPerMm.value) < 0.03);
  assert.ok(Math.abs(turned.at.x - (widthPx - straight.at.x)) < 8);
});

test("long and narrow, very large and flat pictures are answered", () => {
  for (const [widthPx, heightPx] of [
    [20_000, 8],
    [8, 20_000],
    [20_000, 70],
    [70, 20_000],
    [12_500, 8000],
  ] as const) {
    const grey = new Uint8Array(widthPx * heightPx).fill(120);
    const reading = readScale({ widthPx, heightPx, grey });
    assert.ok(!reading.found && reading.reason.length > 20, `${widthPx} x ${heightPx}`);
  }
});

const write = pictureFolder();

test("files of several pictures are read in the first, and it is said; sixteen bits are as good as eight", async () => {
  const { picture } = shoot(
    ruler({ pitchMm: 1, count: 60, classes: MM }),
    { widthPx: 600, heightPx: 300, centreMm: [30, 6] },
    8,
  );
  const { widthPx: width, heightPx: height } = picture;
  const shown = sharp(Uint8Array.from(picture.grey), { raw: { width, height, channels: 1 } });
  const empty = await sharp({ create: { width, height, channels: 3, background: "#777" } })
    .png()
    .toBuffer();
  const pages = [await shown.clone().png().toBuffer(), empty];
  const joined = () => sharp(pages, { join: { animated: true } });
  const files = [
    write("moving.webp", await joined().webp({ lossless: true }).toBuffer()),
    write("pages.tif", await joined().tiff({ compression: "lzw" }).toBuffer()),
  ];
  for (const file of files) {
    const answer = await scaleOfFile({ file });
    assert.ok(answer.found, file);
    assert.ok(errorPct(answer.scales[0]!.pxPerMm.value, 8) < 0.2);
    assert.ok(answer.warnings.includes("The file holds 2 pictures; the first of them was read."));
  }
  for (const name of ["deep.png", "deep.tif"]) {
    const deep = shown.clone().toColourspace("grey16");
    const file = write(name, await (name.endsWith("png") ? deep.png() : deep.tiff()).toBuffer());
    const answer = await scaleOfFile({ file });
    assert.ok(answer.found && errorPct(answer.scales[0]!.pxPerMm.value, 8) < 0.2, name);
  }
  await assert.rejects(scaleOfFile({ file: write("moving.gif", await joined().gif().toBuffer()) }), {
    code: "PICTURE_FORMAT_NOT_READ",
  });
});
