import assert from "node:assert/strict";
import { test } from "node:test";
import fc from "fast-check";
import sharp from "sharp";
import { decodeBytes, greyOf } from "../../src/decode/decode.ts";
import { fittingSize } from "../../src/decode/fitting-size.ts";
import { drawn } from "./pictures.ts";
import { exifBlock, short, withExif } from "./tiff-writer.ts";

const [DARK, LIGHT] = [40, 215];

/** Position of a single edge in outer-corner pixels, from the share of light in a line: no sub-pixel guessing. */
function edgeAt(line: readonly number[]): number {
  return line.reduce((sum, value) => sum + (LIGHT - value) / (LIGHT - DARK), 0);
}

for (const [format, w, h] of [
  ["jpeg", 2400, 1600],
  ["jpeg", 2391, 1597],
  ["png", 2400, 1600],
  ["tiff", 2001, 1333],
  ["webp", 2400, 1600],
] as const) {
  test(`an edge keeps its place when a ${w} x ${h} ${format} is reduced: full = reduced / scale`, async () => {
    const edge = 1003; // not a multiple of any reduction
    const pixels = drawn(w, h, (x, y) =>
      x < edge ? [DARK, DARK, DARK] : y < edge ? [LIGHT, LIGHT, LIGHT] : [DARK, DARK, DARK],
    );
    const drawnPicture = sharp(pixels, { raw: { width: w, height: h, channels: 3 } });
    const bytes =
      format === "jpeg"
        ? await drawnPicture.jpeg({ quality: 100, chromaSubsampling: "4:4:4" }).toBuffer()
        : format === "webp"
          ? await drawnPicture.webp({ lossless: true }).toBuffer()
          : await drawnPicture[format]({ compression: "lzw" } as object).toBuffer();
    for (const maxSidePx of [1100, 800, 500, 290]) {
      const picture = await decodeBytes(bytes, "edge", { maxSidePx });
      assert.ok(Math.max(picture.widthPx, picture.heightPx) <= maxSidePx);
      const { grey, widthPx, heightPx } = greyOf(picture);
      const row = Array.from({ length: widthPx }, (_, x) => grey[Math.floor(heightPx / 4) * widthPx + x]!);
      const column = Array.from({ length: heightPx }, (_, y) => grey[y * widthPx + widthPx - 3]!);
      // In reduced pixels: 0.03 for rounding to grey levels, and what rounding the short side to a whole pixel
      // leaves between the axes (none for camera sides). A half-pixel slip would be 0.5.
      const axes = Math.abs(picture.heightPx - h * picture.scale);
      assert.ok(axes < 0.15);
      const tolerance = (0.03 + axes) / picture.scale;
      assert.ok(Math.abs(edgeAt(row) / picture.scale - edge) < tolerance, `x ${edgeAt(row) / picture.scale}`);
      const fromTop = heightPx - edgeAt(column);
      assert.ok(Math.abs(fromTop / picture.scale - edge) < tolerance, `y ${fromTop / picture.scale}`);
    }
  });
}

test("an edge keeps its place in a reduced picture that is turned as well", async () => {
  const [w, h, edge] = [1600, 1200, 703];
  // Stored rows run down the upright picture's right side: orientation 6.
  const plain = await sharp(
    drawn(w, h, (x) => (x < edge ? [DARK, DARK, DARK] : [LIGHT, LIGHT, LIGHT])),
    {
      raw: { width: w, height: h, channels: 3 },
    },
  )
    .jpeg({ quality: 100 })
    .toBuffer();
  const picture = await decodeBytes(withExif(plain, exifBlock({ 274: short(6) })), "edge", {
    maxSidePx: 500,
  });
  const { grey, widthPx, heightPx } = greyOf(picture);
  assert.ok(heightPx > widthPx);
  const column = Array.from({ length: heightPx }, (_, y) => grey[y * widthPx + 100]!);
  assert.ok(Math.abs(edgeAt(column) / picture.scale - edge) < 0.1, `${edgeAt(column) / picture.scale}`);
});

test("the reduced size serves both axes with one scale", () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 12000 }),
      fc.integer({ min: 1, max: 12000 }),
      fc.integer({ min: 50, max: 4000 }),
      (widthPx, heightPx, maxSidePx) => {
        const size = fittingSize({ widthPx, heightPx }, maxSidePx);
        const long = Math.max(size.widthPx, size.heightPx);
        assert.ok(long <= maxSidePx);
        assert.ok(Math.min(size.widthPx, size.heightPx) >= 1);
        if (Math.max(widthPx, heightPx) <= maxSidePx) assert.equal(size.scale, 1);
        else assert.ok(long >= Math.floor(0.95 * maxSidePx));
        // A side that is reduced to one pixel cannot keep the shape.
        if (Math.min(widthPx, heightPx) * size.scale < 1) return;
        assert.ok(Math.abs(size.widthPx - widthPx * size.scale) <= 0.5);
        assert.ok(Math.abs(size.heightPx - heightPx * size.scale) <= 0.5);
      },
    ),
    { seed: 20261125 },
  );
});

test("camera sides are reduced exactly", () => {
  for (const [widthPx, heightPx] of [
    [6000, 4000],
    [4000, 6000],
    [9504, 6336],
    [4032, 3024],
    [5472, 3648],
    [1920, 1080],
  ] as const) {
    for (const maxSidePx of [2000, 1536, 1000, 700]) {
      const size = fittingSize({ widthPx, heightPx }, maxSidePx);
      assert.ok(
        Math.abs(size.widthPx / widthPx - size.heightPx / heightPx) < 1e-9,
        `${widthPx} to ${maxSidePx}`,
      );
    }
  }
});
