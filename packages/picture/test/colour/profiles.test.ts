import assert from "node:assert/strict";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { seededRandom } from "@samescale/geometry";
import { colourOfFile } from "../../src/colour/colour-of-file.ts";
import type { ChartFound } from "../../src/colour-answers.ts";
import { sharp } from "../../src/decode/sharp.ts";
import { busy, cellsToPx, draw } from "./drawn-chart.ts";
import { matrixProfile, pngInProfile } from "./matrix-profile.ts";

let folder = "";
before(async () => {
  folder = await mkdtemp(join(tmpdir(), "samescale-profiles-"));
});
after(async () => await rm(folder, { recursive: true, force: true }));

const SIZE = { width: 360, height: 260, channels: 3 } as const;

/** A chart under a warm light, within sRGB, so that no space clips it. */
const picture = draw({
  widthPx: SIZE.width,
  heightPx: SIZE.height,
  background: busy,
  charts: [
    {
      toPx: cellsToPx([
        [90, 60],
        [270, 66],
        [268, 174],
        [88, 168],
      ]),
    },
  ],
  camera: ([r, g, b]) => [0.8 * r + 0.004, 0.7 * g + 0.004, 0.5 * b + 0.004],
  noise: 0,
  random: seededRandom(5),
});

const LOSSLESS = { compression: "lzw" } as const;
/** The same values with 16 bits a channel. */
const deepOf = (values: Uint8Array) => Uint16Array.from(values, (v) => v * 257);
const deepPng = async (values: Uint8Array) =>
  await sharp(deepOf(values), { raw: SIZE }).toColourspace("rgb16").png().toBuffer();

async function crossValidated(name: string, bytes: Buffer): Promise<ChartFound> {
  const file = join(folder, name);
  await writeFile(file, bytes);
  const answer = await colourOfFile({ file, chartEdition: "after-2014" });
  assert.ok(answer.found, answer.found ? "" : answer.reason);
  return answer;
}

test("a wider space or more bits give the same colours: the profile is obeyed", async () => {
  // primaries and gamma of Adobe RGB (1998), from memory; the image library's own colour engine converts into it
  const profile = matrixProfile(
    "wide",
    [
      [0.64, 0.33],
      [0.21, 0.71],
      [0.15, 0.06],
    ],
    563 / 256,
  );
  const adobe = join(folder, "wide.icc");
  await writeFile(adobe, profile);
  const from8 = () => sharp(picture.rgb, { raw: SIZE });
  const wide8 = await from8().withIccProfile(adobe).png().toBuffer();
  const wideValues = await sharp(wide8, { ignoreIcc: true }).raw().toBuffer();
  const deepWide = await deepPng(wideValues);
  const plain = await crossValidated("plain.png", await from8().png().toBuffer());
  assert.ok(plain.deltaE00.before.mean > 4);
  assert.ok(plain.deltaE00.crossValidated.mean < 1, `${plain.deltaE00.crossValidated.mean}`);
  for (const [name, bytes] of [
    ["wide.png", wide8],
    ["p3.png", await from8().withIccProfile("p3").png().toBuffer()],
    ["deep.png", await deepPng(picture.rgb)],
    [
      "deep.tif",
      await sharp(deepOf(picture.rgb), { raw: SIZE }).toColourspace("rgb16").tiff(LOSSLESS).toBuffer(),
    ],
    ["deep-wide.png", pngInProfile(deepWide, profile)],
  ] as const) {
    const { deltaE00 } = await crossValidated(name, bytes);
    // 8 bits in a wider space are coarser: half a code value a channel is about 0.2 ΔE00 on one patch, less on the mean
    const off = Math.abs(deltaE00.before.mean - plain.deltaE00.before.mean);
    assert.ok(off < 0.15, `${name}: before ${deltaE00.before.mean}, in sRGB ${plain.deltaE00.before.mean}`);
    // dark patches that are fitted without noise move more: a code value there is about 0.5
    assert.ok(
      Math.abs(deltaE00.crossValidated.mean - plain.deltaE00.crossValidated.mean) < 0.25,
      `${name}: cross-validated ${deltaE00.crossValidated.mean}, in sRGB ${plain.deltaE00.crossValidated.mean}`,
    );
  }
  // and a profile that is ignored would be seen
  const wrong = await crossValidated("stripped.png", deepWide);
  assert.ok(Math.abs(wrong.deltaE00.before.mean - plain.deltaE00.before.mean) > 0.5);
});

test("a picture with 16 bits is corrected to 8, and that is said", async () => {
  const file = join(folder, "sixteen.tif");
  await writeFile(
    file,
    await sharp(deepOf(picture.rgb), { raw: SIZE }).toColourspace("rgb16").tiff(LOSSLESS).toBuffer(),
  );
  const to = join(folder, "sixteen-corrected.png");
  const answer = await colourOfFile({ file, chartEdition: "after-2014", correctedFile: to });
  assert.ok(answer.found && answer.warnings.some((w) => w.includes("more than 8 bits")));
  const { depth, hasProfile } = await sharp(to).metadata();
  assert.deepEqual([depth, hasProfile], ["uchar", true]);
});

test("grey, CMYK and transparent pictures are answered, black and plain ones hold no chart", async () => {
  const raw = () => sharp(picture.rgb, { raw: SIZE });
  const found = async (name: string, bytes: Buffer) => {
    const file = join(folder, name);
    await writeFile(file, bytes);
    return await colourOfFile({ file });
  };
  assert.equal((await found("grey.png", await raw().greyscale().png().toBuffer())).found, false);
  // printing inks cannot show every patch, but the chart stays a chart
  const cmyk = await found("cmyk.tif", await raw().toColourspace("cmyk").tiff().toBuffer());
  assert.equal(cmyk.found, true);
  const clear = await found("alpha.png", await raw().ensureAlpha(1).png().toBuffer());
  assert.equal(clear.found, true);
  const plain = (v: number, width = 300, height = 200) =>
    sharp({ create: { width, height, channels: 3, background: { r: v, g: v, b: v } } })
      .png()
      .toBuffer();
  for (const [name, bytes] of [
    ["black.png", await plain(0)],
    ["white.png", await plain(255)],
    ["one-colour.png", await plain(90)],
    ["dot.png", await plain(90, 1, 1)],
    ["line.png", await plain(90, 2000, 1)],
  ] as const) {
    const answer = await found(name, bytes);
    assert.equal(answer.found ? "found" : answer.reason, "no 24-patch colour chart was found", name);
  }
});
