import assert from "node:assert/strict";
import { test } from "node:test";
import sharp from "sharp";
import { decodeBytes, greyOf } from "../../src/decode/decode.ts";
import { infoOfFile } from "../../src/info/info-of-file.ts";
import { drawn, pictureFolder, pixelAt } from "./pictures.ts";
import { syntheticDng } from "./tiff-writer.ts";

const write = pictureFolder();
const [W, H] = [64, 48];
const COLOUR = [200, 50, 60] as const;
const flat = sharp(
  drawn(W, H, () => COLOUR),
  { raw: { width: W, height: H, channels: 3 } },
);

function assertColour(got: readonly number[], want: readonly number[], within: number, what: string) {
  for (const channel of [0, 1, 2]) {
    assert.ok(Math.abs(got[channel]! - want[channel]!) <= within, `${what}: ${got} for ${want}`);
  }
}

test("every format gives the colour that went in, in three 8-bit channels", async () => {
  const grey = 0.2126 * 200 + 0.7152 * 50 + 0.0722 * 60;
  const cases: readonly (readonly [what: string, bytes: Buffer, want: readonly number[], within: number])[] =
    [
      ["PNG", await flat.clone().png().toBuffer(), COLOUR, 0],
      ["palette PNG", await flat.clone().png({ palette: true }).toBuffer(), COLOUR, 1],
      ["16-bit PNG without profile", await flat.clone().toColourspace("rgb16").png().toBuffer(), COLOUR, 1],
      ["16-bit PNG, sRGB profile", await sixteenBit("srgb"), COLOUR, 2],
      ["16-bit PNG, wide profile", await sixteenBit("p3"), COLOUR, 2],
      ["8-bit PNG, wide profile", await flat.clone().withIccProfile("p3").png().toBuffer(), COLOUR, 2],
      ["TIFF", await flat.clone().tiff({ compression: "lzw" }).toBuffer(), COLOUR, 0],
      ["16-bit TIFF", await sixteenBit(null, "tiff"), COLOUR, 1],
      ["16-bit TIFF, wide profile", await sixteenBit("p3", "tiff"), COLOUR, 2],
      ["WebP", await flat.clone().webp({ lossless: true }).toBuffer(), COLOUR, 0],
      ["JPEG", await flat.clone().jpeg({ quality: 100, chromaSubsampling: "4:4:4" }).toBuffer(), COLOUR, 3],
      // Ink colours cannot show this red exactly: only the way there and back is checked.
      ["CMYK JPEG", await flat.clone().toColourspace("cmyk").jpeg({ quality: 100 }).toBuffer(), COLOUR, 25],
      ["grey PNG", await flat.clone().greyscale().toColourspace("b-w").png().toBuffer(), [108, 108, 108], 1],
      [
        "grey JPEG",
        await flat.clone().greyscale().toColourspace("b-w").jpeg().toBuffer(),
        [108, 108, 108],
        2,
      ],
      ["16-bit grey PNG", await flat.clone().toColourspace("grey16").png().toBuffer(), [108, 108, 108], 1],
      ["opaque alpha", await flat.clone().ensureAlpha(1).png().toBuffer(), COLOUR, 0],
      ["half transparent", await flat.clone().ensureAlpha(0.5).png().toBuffer(), [164, 89, 94], 2],
      ["fully transparent", await flat.clone().ensureAlpha(0).png().toBuffer(), [128, 128, 128], 0],
    ];
  for (const [what, bytes, want, within] of cases) {
    const picture = await decodeBytes(bytes, what);
    assert.deepEqual([picture.widthPx, picture.heightPx, picture.rgb.length], [W, H, 3 * W * H], what);
    assert.deepEqual(picture.warnings, [], what);
    assertColour(pixelAt(picture, 20, 20), want, within, what);
  }
  const luma = greyOf(await decodeBytes(cases[0]![1], "PNG"));
  assert.ok(Math.abs(luma.grey[0]! - grey) < 1e-4);
});

async function sixteenBit(profile: "srgb" | "p3" | null, format: "png" | "tiff" = "png"): Promise<Buffer> {
  const wide = flat.clone().toColourspace("rgb16");
  const profiled = profile ? wide.withIccProfile(profile) : wide;
  const bytes = await (format === "png" ? profiled.png() : profiled.tiff({ compression: "lzw" })).toBuffer();
  const stored = await sharp(bytes).metadata();
  assert.deepEqual([stored.format, stored.depth, stored.hasProfile], [format, "ushort", profile !== null]);
  return bytes;
}

test("a wide profile is converted, not ignored", async () => {
  const bytes = await flat.clone().withIccProfile("p3").png().toBuffer();
  const ignored = await sharp(bytes, { ignoreIcc: true }).raw().toBuffer();
  assert.ok(Math.abs(ignored[0]! - COLOUR[0]) > 8, "the stored numbers differ from sRGB ones");
});

test("what a file is called plays no part", async () => {
  const file = write("actually-a-png.jpg", await flat.clone().png().toBuffer());
  assert.equal((await infoOfFile({ file })).format, "png");
});

test("a picture of one pixel is decoded", async () => {
  const bytes = await sharp({ create: { width: 1, height: 1, channels: 3, background: "#c8323c" } })
    .png()
    .toBuffer();
  for (const options of [{}, { maxSidePx: 1 }, { maxSidePx: 2000 }]) {
    const picture = await decodeBytes(bytes, "one.png", options);
    assert.deepEqual([picture.widthPx, picture.heightPx, ...picture.rgb], [1, 1, 200, 50, 60]);
  }
});

test("several pages: the first one is used, and said", async () => {
  const bytes = await sharp(
    drawn(8, 16, (_, y) => (y < 8 ? [10, 10, 10] : [90, 90, 90])),
    {
      raw: { width: 8, height: 16, channels: 3, pageHeight: 8 },
    },
  )
    .tiff({ compression: "lzw" })
    .toBuffer();
  const info = await infoOfFile({ file: write("pages.tiff", bytes) });
  assert.deepEqual([info.widthPx, info.heightPx], [8, 8]);
  assert.ok(info.warnings.includes("The file holds 2 pages: the first one is used."));
});

// No camera's RAW file is at hand: these are invented DNG files of the simplest kind.
test("a RAW file without a preview is developed, upright", async () => {
  for (const [orientation, w, h] of [
    [1, 300, 200],
    [6, 200, 300],
  ] as const) {
    const file = write(`plain-${orientation}.dng`, syntheticDng(300, 200, { orientation }));
    const picture = await decodeBytes(syntheticDng(300, 200, { orientation }), file);
    assert.deepEqual([picture.widthPx, picture.heightPx, picture.scale], [w, h, 1]);
    const info = await infoOfFile({ file });
    assert.deepEqual(
      [info.format, info.widthPx, info.heightPx, info.orientation, info.make, info.model],
      ["raw", w, h, orientation, "Invented", "Sensor One"],
    );
    // The bright quarter is at the sensor's top left, which orientation 6 brings to the top right.
    const bright = orientation === 1 ? pixelAt(picture, 40, 40) : pixelAt(picture, w - 40, 40);
    const dark = orientation === 1 ? pixelAt(picture, w - 40, h - 40) : pixelAt(picture, 40, h - 40);
    assert.ok(bright[1] > dark[1] + 60, `${bright} and ${dark}`);
  }
});

test("a RAW file's full-size preview is the picture, turned as the RAW file says", async () => {
  const preview = await sharp(
    drawn(296, 196, (x) => (x < 148 ? [200, 40, 40] : [40, 40, 200])),
    { raw: { width: 296, height: 196, channels: 3 } },
  )
    .jpeg({ quality: 100 })
    .toBuffer();
  const bytes = syntheticDng(300, 200, { orientation: 6, preview });
  const picture = await decodeBytes(bytes, "with-preview.dng");
  assert.deepEqual([picture.widthPx, picture.heightPx], [196, 296]);
  assertColour(pixelAt(picture, 100, 20), [200, 40, 40], 6, "left half now on top");
  const info = await infoOfFile({ file: write("with-preview.dng", bytes) });
  assert.deepEqual([info.widthPx, info.heightPx, info.orientation], [196, 296, 6]);
});

test("a thumbnail in a RAW file is not taken for the picture", async () => {
  const preview = await sharp({ create: { width: 60, height: 40, channels: 3, background: "#c83232" } })
    .jpeg()
    .toBuffer();
  const picture = await decodeBytes(syntheticDng(300, 200, { preview }), "thumbnail.dng");
  assert.deepEqual([picture.widthPx, picture.heightPx], [300, 200]);
});
