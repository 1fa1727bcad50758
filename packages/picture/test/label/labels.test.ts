import assert from "node:assert/strict";
import { existsSync, globSync, readFileSync } from "node:fs";
import { basename, resolve } from "node:path";
import { test } from "node:test";
import bwipjs from "bwip-js/node";
import sharp from "sharp";
import { labelsOfFile } from "../../src/label/labels-of-file.ts";
import { pictureFolder } from "../decode/pictures.ts";

const write = pictureFolder();
const shared = resolve(import.meta.dirname, "../../../../../shared/data");

interface Symbol {
  readonly bcid: string;
  readonly text: string;
  readonly options?: object;
}

/** A label with a symbol of `modulePx` a narrow bar, turned, on a mid-tone picture, slightly blurred. */
async function photographed(
  { bcid, text, options = {} }: Symbol,
  { modulePx = 3, turnedDeg = 0, widthPx = 1100, heightPx = 800, left = 60, top = 40, blur = 0.7 } = {},
): Promise<Buffer> {
  const symbol = await bwipjs.toBuffer({
    bcid,
    text,
    scale: modulePx,
    paddingwidth: 12,
    paddingheight: 6,
    backgroundcolor: "ffffff",
    ...options,
  });
  const label = await sharp(symbol).rotate(turnedDeg, { background: "#8a7a70" }).toBuffer();
  return await sharp({ create: { width: widthPx, height: heightPx, channels: 3, background: "#8a7a70" } })
    .composite([{ input: label, left, top }])
    .blur(blur)
    .jpeg({ quality: 92 })
    .toBuffer();
}

const BARS = { height: 12 };
const symbols: readonly (Symbol & { readonly format: string })[] = [
  { format: "code128", bcid: "code128", text: "PJJ123C", options: BARS },
  { format: "code128", bcid: "code128", text: "0123456789012345678901234", options: BARS },
  { format: "code39", bcid: "code39", text: "HN1234", options: BARS },
  { format: "code93", bcid: "code93", text: "HN12345", options: { ...BARS, includecheck: true } },
  { format: "codabar", bcid: "rationalizedCodabar", text: "A4012345B", options: BARS },
  { format: "itf", bcid: "interleaved2of5", text: "30181083904512", options: BARS },
  { format: "ean13", bcid: "ean13", text: "9520123456788", options: BARS },
  { format: "qr", bcid: "qrcode", text: "MRN=123456;DOB=1950-01-31" },
  { format: "datamatrix", bcid: "datamatrix", text: "A1234567890123456" },
  { format: "pdf417", bcid: "pdf417", text: "PATIENT 1234567890 SMITH" },
  { format: "aztec", bcid: "azteccode", text: "123456789012" },
];

test("every format is read under its name, with the very text", async () => {
  for (const { format, ...symbol } of symbols) {
    const file = write(`${symbol.bcid}.jpg`, await photographed(symbol));
    const { codes } = await labelsOfFile({ file });
    assert.deepEqual(
      codes.map((code) => [code.format, code.text]),
      [[format, symbol.text]],
    );
  }
});

test("a Code 39 text never comes back as another system's number", async () => {
  // Six letters and digits can be unfolded into nine digits of Code 32: a wrong patient number.
  for (const [text, ...turns] of [
    ["HN1234", 0, 14, 90, 180],
    ["BC1234", 0],
    ["0Z9X8W", 7],
  ] as const) {
    for (const turnedDeg of turns) {
      const file = write(
        "code39.jpg",
        await photographed({ bcid: "code39", text, options: BARS }, { turnedDeg }),
      );
      const { codes } = await labelsOfFile({ file });
      assert.deepEqual(
        codes.map((code) => [code.format, code.text]),
        [["code39", text]],
        `${text} turned ${turnedDeg}`,
      );
    }
  }
});

test("bars are read at any angle", async () => {
  const barred = symbols.filter(({ format }) => ["code128", "code39", "pdf417"].includes(format));
  for (const [i, { format, ...symbol }] of barred.entries()) {
    for (const turnedDeg of [12 + i, 45 - 2 * i, 215 + i]) {
      const size = { widthPx: 1300, heightPx: 1200, modulePx: 3, turnedDeg };
      const file = write("turned.jpg", await photographed(symbol, size));
      const { codes } = await labelsOfFile({ file });
      assert.deepEqual(
        codes.map((code) => [code.format, code.text]),
        [[format, symbol.text]],
        `${symbol.text} turned ${turnedDeg}`,
      );
    }
  }
});

test("corners are in upright full-size pixels, in the symbol's own order", async () => {
  const modulePx = 8;
  const [left, top] = [1301, 905];
  const text = "MRN=123456";
  const bare = { bcid: "qrcode", text, scale: modulePx, paddingwidth: 0, paddingheight: 0 };
  const side = (await sharp(await bwipjs.toBuffer(bare)).metadata()).width;
  const place = { modulePx, left, top, widthPx: 4000, heightPx: 2000, blur: 0.6 };
  const framed = { bcid: "qrcode", text, options: { paddingwidth: 8, paddingheight: 8 } };
  const padding = 8 * modulePx;
  for (const [turnedDeg, first] of [
    [0, 0],
    [90, 1],
    [180, 2],
    [270, 3],
  ] as const) {
    const file = write("corners.jpg", await photographed(framed, { ...place, turnedDeg }));
    const [code] = (await labelsOfFile({ file })).codes;
    const [x0, y0] = [left + padding, top + padding];
    const around = [
      [x0, y0],
      [x0 + side, y0],
      [x0 + side, y0 + side],
      [x0, y0 + side],
    ] as const;
    // Turned clockwise once, the symbol's own top left lies at the picture's top right, and so on.
    const want = [0, 1, 2, 3].map((i) => around[(i + first) % 4]!);
    for (const [i, [x, y]] of code!.corners.entries()) {
      // Read at half size, where corners are whole pixels.
      const off = Math.hypot(x - want[i]![0], y - want[i]![1]);
      assert.ok(off < 4, `turned ${turnedDeg}, corner ${i}: ${x},${y} for ${want[i]}`);
    }
  }
});

test("corners of every format lie within a pixel of the drawn symbol's where it was read at full size", async () => {
  for (const { bcid, text, options } of [
    { bcid: "qrcode", text: "MRN=123456", options: {} },
    { bcid: "datamatrix", text: "A1234567890123456", options: {} },
    { bcid: "azteccode", text: "123456789012", options: {} },
    { bcid: "code128", text: "PJJ123C", options: BARS },
  ]) {
    const bare = { bcid, text, scale: 5, ...options, backgroundcolor: "ffffff" };
    const { width, height } = await sharp(await bwipjs.toBuffer(bare)).metadata();
    const [x0, y0] = [90 + 12 * 5, 70 + 12 * 5];
    const symbol = { bcid, text, options: { ...options, paddingwidth: 12, paddingheight: 12 } };
    const place = { modulePx: 5, left: 90, top: 70, blur: 0.6 };
    const file = write("near.jpg", await photographed(symbol, place));
    const [code] = (await labelsOfFile({ file })).codes;
    const want = [
      [x0, y0],
      [x0 + width, y0],
      [x0 + width, y0 + height],
      [x0, y0 + height],
    ] as const;
    for (const [i, [x, y]] of code!.corners.entries()) {
      const off = Math.max(Math.abs(x - want[i]![0]), Math.abs(y - want[i]![1]));
      assert.ok(off <= 1, `${bcid} corner ${i}: ${x},${y} for ${want[i]}`);
    }
  }
});

test("small symbols in a large picture are found at larger sizes", async () => {
  const size = { modulePx: 3, widthPx: 6000, heightPx: 4000, left: 4100, top: 2700, blur: 1.1 };
  for (const symbol of [
    { format: "datamatrix", bcid: "datamatrix", text: "A1234567890123456" },
    { format: "code128", bcid: "code128", text: "0123456789012345678901234", options: BARS },
  ]) {
    const { codes } = await labelsOfFile({ file: write("small.jpg", await photographed(symbol, size)) });
    assert.deepEqual(
      codes.map((code) => [code.format, code.text]),
      [[symbol.format, symbol.text]],
    );
    const [x, y] = codes[0]!.corners[0];
    assert.ok(x > 4100 && x < 4300 && y > 2690 && y < 2900, `${x},${y}`);
  }
});

test("two labels of different kinds are both found", async () => {
  const first = await photographed(
    { bcid: "qrcode", text: "VISIT-17" },
    { left: 100, top: 100, widthPx: 2000, heightPx: 1500 },
  );
  const second = await sharp(
    await bwipjs.toBuffer({ bcid: "code128", text: "1234567890", scale: 3, height: 12, paddingwidth: 10 }),
  )
    .flatten({ background: "#fff" })
    .rotate(33, { background: "#8a7a70" })
    .toBuffer();
  const both = await sharp(first)
    .composite([{ input: second, left: 1100, top: 700 }])
    .jpeg({ quality: 92 })
    .toBuffer();
  const { codes } = await labelsOfFile({ file: write("two.jpg", both) });
  assert.deepEqual(codes.map((code) => code.text).sort(), ["1234567890", "VISIT-17"]);
});

test("GS1 content keeps its plain text and says what it is by its identifier", async () => {
  // GSRN with AI 8018 (18 digits, check digit by weights 3, 1: reference/trade-facts.md, 6.6).
  const symbol = { bcid: "gs1datamatrix", text: "(8018)952012345678912345" };
  const { codes, warnings } = await labelsOfFile({ file: write("gs1.jpg", await photographed(symbol)) });
  assert.deepEqual(
    codes.map(({ format, text, aim }) => ({ format, text, aim })),
    [{ format: "datamatrix", text: "8018952012345678912345", aim: "]d2" }],
  );
  assert.deepEqual(warnings, []);
});

test("control characters stay in the text and are said; a mirrored symbol is said", async () => {
  const symbol = { bcid: "datamatrix", text: "^029ID^0301234", options: { parse: true, parsefnc: false } };
  const control = { bcid: "qrcode", text: "ID^0291234".replace("^029", "\u001d") };
  const { codes, warnings } = await labelsOfFile({ file: write("gs.jpg", await photographed(control)) });
  assert.equal(codes[0]?.text, "ID\u001d1234");
  assert.deepEqual(warnings, ["A qr code's text holds control characters."]);
  const mirrored = await sharp(await photographed({ ...symbol, text: "A1234567" }))
    .flop()
    .toBuffer();
  const seen = await labelsOfFile({ file: write("mirror.jpg", mirrored) });
  assert.equal(seen.codes[0]?.text, "A1234567");
  assert.match(seen.warnings.join(), /mirrored/);
});

test("nothing to read is an answer without codes", async () => {
  const grey = await sharp({ create: { width: 3000, height: 2000, channels: 3, background: "#907060" } })
    .jpeg()
    .toBuffer();
  const file = write("nothing.jpg", grey);
  assert.deepEqual(await labelsOfFile({ file }), { file, codes: [], warnings: [] });
});

test("the real photographs of codes: every known text is read, and nothing else", async (t) => {
  const folder = `${shared}/barcodes`;
  if (!existsSync(folder)) return t.skip("the shared pictures are not here");
  const truth = JSON.parse(readFileSync(`${folder}/truth.json`, "utf8")) as {
    items: { file: string; format: string | null; text: string | string[] | null }[];
  };
  let [wanted, read] = [0, 0];
  const unknown: string[] = [];
  for (const { file, text } of truth.items) {
    if (text === null) continue;
    const texts = [text].flat();
    const got = (await labelsOfFile({ file: `${folder}/${file}` })).codes.map((code) => code.text);
    wanted += texts.length;
    read += texts.filter((one) => got.includes(one)).length;
    unknown.push(...got.filter((one) => !texts.includes(one)));
  }
  t.diagnostic(`${read} of ${wanted} known texts read`);
  assert.ok(read >= wanted - 1, `${read} of ${wanted}`);
  // One of the pictures shows a second label, whose text is that of two others.
  assert.deepEqual(unknown, ["001EC947D49B"]);
});

test("photographs of skin and wounds give no codes", async (t) => {
  const folder = `${shared}/wounds/images`;
  if (!existsSync(folder)) return t.skip("the shared pictures are not here");
  for (const file of globSync(`${folder}/*`).sort().slice(0, 6)) {
    assert.deepEqual((await labelsOfFile({ file })).codes, [], basename(file));
  }
});
