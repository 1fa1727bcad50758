import assert from "node:assert/strict";
import { existsSync, globSync, readFileSync } from "node:fs";
import { resolve } from "node:path";
import { test } from "node:test";
import sharp from "sharp";
import { decodeBytes, decodePicture } from "../../src/decode/decode.ts";
import { pictureSize } from "../../src/decode/picture-size.ts";
import { drawn, pixelAt } from "./pictures.ts";
import { exifBlock, short, withExif } from "./tiff-writer.ts";

const shared = resolve(import.meta.dirname, "../../../../../shared/data/exif");

const [WIDE, HIGH] = [48, 32];
/** The upright picture: four quarters of different colours. */
const upright = (x: number, y: number): [number, number, number] =>
  y < HIGH / 2
    ? x < WIDE / 2
      ? [200, 40, 40]
      : [40, 200, 40]
    : x < WIDE / 2
      ? [40, 40, 200]
      : [200, 200, 40];

/**
 * Where the stored first row and first column lie in the upright picture, in the words of the standard.
 * Source: Exif 2.32 (CIPA DC-008), 4.6.4, tag Orientation (from memory).
 */
const FIRST_ROW_AND_COLUMN: Readonly<Record<number, readonly [row: string, column: string]>> = {
  1: ["top", "left"],
  2: ["top", "right"],
  3: ["bottom", "right"],
  4: ["bottom", "left"],
  5: ["left", "top"],
  6: ["right", "top"],
  7: ["right", "bottom"],
  8: ["left", "bottom"],
};

function storedPixel(orientation: number, x: number, y: number): [number, number, number] {
  const [row, column] = FIRST_ROW_AND_COLUMN[orientation]!;
  const along = (side: string, steps: number, length: number) =>
    side === "top" || side === "left" ? steps : length - 1 - steps;
  const rowIsHorizontal = row === "top" || row === "bottom";
  return rowIsHorizontal
    ? upright(along(column, x, WIDE), along(row, y, HIGH))
    : upright(along(row, y, WIDE), along(column, x, HIGH));
}

for (let orientation = 1; orientation <= 8; orientation++) {
  test(`orientation ${orientation} is applied, at full size and reduced`, async () => {
    const [w, h] = orientation >= 5 ? [HIGH, WIDE] : [WIDE, HIGH];
    const plain = await sharp(
      drawn(w, h, (x, y) => storedPixel(orientation, x, y)),
      {
        raw: { width: w, height: h, channels: 3 },
      },
    )
      .jpeg({ quality: 100, chromaSubsampling: "4:4:4" })
      .toBuffer();
    const bytes = withExif(plain, exifBlock({ 274: short(orientation) }));
    const full = await decodeBytes(bytes, "test.jpg");
    assert.deepEqual([full.widthPx, full.heightPx], [WIDE, HIGH]);
    const half = await decodeBytes(bytes, "test.jpg", { maxSidePx: 24 });
    assert.deepEqual([half.widthPx, half.heightPx, half.scale], [24, 16, 0.5]);
    assert.deepEqual([half.fullWidthPx, half.fullHeightPx], [WIDE, HIGH]);
    for (const [x, y] of [
      [4, 4],
      [WIDE - 5, 4],
      [4, HIGH - 5],
      [WIDE - 5, HIGH - 5],
    ] as const) {
      const want = upright(x, y);
      for (const got of [pixelAt(full, x, y), pixelAt(half, x >> 1, y >> 1)]) {
        for (const channel of [0, 1, 2] as const) {
          assert.ok(Math.abs(got[channel] - want[channel]) <= 4, `${x},${y}: ${got} for ${want}`);
        }
      }
    }
    const part = { left: 3, top: 9, widthPx: 33, heightPx: 17 };
    const cut = await decodeBytes(bytes, "test.jpg", { part });
    assert.deepEqual([cut.widthPx, cut.heightPx, cut.scale, cut.fullWidthPx], [33, 17, 1, WIDE]);
    for (let y = 0; y < 17; y++)
      for (let x = 0; x < 33; x++) assert.deepEqual(pixelAt(cut, x, y), pixelAt(full, x + 3, y + 9));
    const size = await pictureSize(bytes, "jpeg", "test.jpg");
    assert.deepEqual([size.widthPx, size.heightPx, size.orientation], [WIDE, HIGH, orientation]);
  });
}

test("an orientation outside 1 to 8 means upright", async () => {
  const plain = await sharp(drawn(WIDE, HIGH, upright), { raw: { width: WIDE, height: HIGH, channels: 3 } })
    .jpeg()
    .toBuffer();
  for (const value of [0, 9, 65535]) {
    const picture = await decodeBytes(withExif(plain, exifBlock({ 274: short(value) })), "test.jpg");
    assert.deepEqual([picture.widthPx, picture.heightPx], [WIDE, HIGH]);
  }
});

test("nine photographs of one scene, each stored another way, look the same upright", async (t) => {
  if (!existsSync(shared)) return t.skip("the shared pictures are not here");
  const files = globSync(`${shared}/orientation_*`).sort();
  assert.equal(files.length, 9);
  const pictures = await Promise.all(files.map((file) => decodePicture(file, { maxSidePx: 300 })));
  const first = pictures[0]!;
  for (const picture of pictures) {
    assert.deepEqual([picture.widthPx, picture.heightPx], [first.widthPx, first.heightPx]);
    let sum = 0;
    for (let i = 0; i < first.rgb.length; i++) sum += Math.abs(first.rgb[i]! - picture.rgb[i]!);
    // The nine were compressed separately; a wrong turn gives some 60 levels.
    assert.ok(sum / first.rgb.length < 4, `${sum / first.rgb.length} grey levels apart`);
  }
});

// The pictures at hand are not turned by their container, so one is turned here.
test("a turned HEIC picture is turned once: by its container, not by its EXIF orientation again", async (t) => {
  const file = `${shared}/heic_IMG_5195.HEIC`;
  if (!existsSync(file)) return t.skip("the shared pictures are not here");
  const bytes = readFileSync(file);
  const straight = await decodeBytes(bytes, file, { maxSidePx: 100 });
  // The rotation box holds quarter turns against the clock (ISO/IEC 23008-12, 6.5.10); it is 0 in this file.
  const turned = Buffer.from(bytes);
  const box = turned.indexOf("irot", 0, "latin1");
  assert.ok(box > 0);
  turned[box + 4] = 1;
  // This file's metadata have no Orientation; ResolutionUnit (SHORT, big-endian) becomes one that says 8.
  const tag = turned.indexOf(Buffer.from([0x01, 0x28, 0, 3, 0, 0, 0, 1]));
  assert.ok(tag > 0);
  turned.writeUInt16BE(0x0112, tag);
  turned.writeUInt16BE(8, tag + 8);
  const picture = await decodeBytes(turned, file, { maxSidePx: 100 });
  assert.deepEqual([picture.widthPx, picture.heightPx], [straight.heightPx, straight.widthPx]);
  let worst = 0;
  for (let y = 2; y < picture.heightPx - 2; y += 7) {
    for (let x = 2; x < picture.widthPx - 2; x += 7) {
      const [a] = pixelAt(picture, x, y);
      const [b] = pixelAt(straight, straight.widthPx - 1 - y, x);
      worst = Math.max(worst, Math.abs(a - b));
    }
  }
  assert.ok(worst <= 40, `${worst} grey levels apart`);
});
