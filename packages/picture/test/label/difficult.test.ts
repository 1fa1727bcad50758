import assert from "node:assert/strict";
import { test } from "node:test";
import bwipjs from "bwip-js/node";
import sharp from "sharp";
import { labelsOfFile } from "../../src/label/labels-of-file.ts";
import { isResolved } from "../../src/label/resolved.ts";
import { isSymbolLike } from "../../src/label/symbol-like.ts";
import { pictureFolder } from "../decode/pictures.ts";
import { type PrintedCode, type Scene, sceneJpeg } from "./scene.ts";

const write = pictureFolder();
const BARS = { height: 12 };

/** The same numbers in [0, 1) each time. */
function sequence(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

async function read(code: Partial<PrintedCode> & { bcid: string; text: string }, more: Partial<Scene> = {}) {
  const one = { options: BARS, modulePx: 3, deg: 0, at: [550, 400] as const, ...code };
  const scene = { widthPx: 1100, heightPx: 800, blurPx: 0.7, codes: [one], ...more };
  const { codes, warnings } = await labelsOfFile({
    file: write("scene.jpg", await sceneJpeg(scene, sequence(7))),
  });
  return { texts: codes.map(({ text }) => text), warnings };
}

test("bars wrapped round a wrist are read, along the limb and around it", async () => {
  for (const way of ["around", "along"] as const) {
    const { texts } = await read({
      bcid: "code128",
      text: "HN6503175",
      deg: 33,
      wrist: { radiusMm: 28, way },
    });
    assert.deepEqual(texts, ["HN6503175"], way);
  }
});

test("bars of little more than a pixel are read", async () => {
  assert.deepEqual(
    (await read({ bcid: "code39", text: "HN1234", modulePx: 1.3, deg: 8 }, { blurPx: 0.4 })).texts,
    ["HN1234"],
  );
});

test("bars blurred by two thirds of their width are read after sharpening, and that is said", async () => {
  const { texts, warnings } = await read({ bcid: "code128", text: "HN6503175", deg: 12 }, { blurPx: 2 });
  assert.deepEqual(texts, ["HN6503175"]);
  assert.match(warnings.join(), /only after sharpening or unrolling it: compare/);
});

test("a part of an ITF code is never given for the whole", async () => {
  const random = sequence(41);
  for (const deg of [15, 75, 165, 285]) {
    const text = Array.from({ length: 14 }, () => Math.floor(random() * 10)).join("");
    for (const one of (await read({ bcid: "interleaved2of5", text, deg })).texts) assert.equal(one, text);
  }
});

test("graduations are told from the bars of a symbol", async () => {
  const bars = async (bcid: string, text: string) => {
    const symbol = await bwipjs.toBuffer({ bcid, text, scale: 3, height: 12, backgroundcolor: "ffffff" });
    const drawn = sharp(symbol).flatten().extractChannel(0);
    const { data, info } = await drawn.raw().toBuffer({ resolveWithObject: true });
    return { widthPx: info.width, heightPx: info.height, grey: new Uint8Array(data) };
  };
  for (const [bcid, text] of [
    ["code128", "HN6503175"],
    ["code39", "HN1234"],
    ["interleaved2of5", "00000000000000"],
    ["pdf417", "PATIENT 1234567890"],
  ] as const)
    assert.equal(isSymbolLike(await bars(bcid, text)), true, bcid);
  for (const pitchPx of [5.3, 9, 21.7]) {
    // Ticks of three lengths, as on any scale, and blank paper below them.
    const [widthPx, heightPx] = [600, 90];
    const grey = new Uint8Array(widthPx * heightPx).fill(220);
    for (let n = 0; n * pitchPx < widthPx; n++) {
      const long = n % 10 === 0 ? 80 : n % 5 === 0 ? 60 : 40;
      const x = Math.round(n * pitchPx);
      for (let y = 0; y < long; y++) grey.fill(40, y * widthPx + x, y * widthPx + x + 2);
    }
    assert.equal(isSymbolLike({ widthPx, heightPx, grey }), false, `${pitchPx} px`);
  }
  // The edge of a sheet.
  const grey = Uint8Array.from({ length: 200 * 50 }, (_, i) => (i % 200 < 90 ? 40 : 220));
  assert.equal(isSymbolLike({ widthPx: 200, heightPx: 50, grey }), false);
});

test("print that is drawn sharply is told from what more pixels would show more of", () => {
  const [widthPx, heightPx] = [96, 96];
  const box = { x0: 16, y0: 16, x1: 80, y1: 80 };
  const picture = (squarePx: number) => {
    const random = sequence(11);
    const side = Math.ceil(widthPx / squarePx) + 1;
    const dark = Array.from({ length: side * side }, () => random() < 0.5);
    // Each pixel is the mean of what it covers, as a lens and a sensor give it.
    const grey = Uint8Array.from({ length: widthPx * heightPx }, (_, i) => {
      let sum = 0;
      for (let s = 0; s < 64; s++) {
        const x = Math.floor(((i % widthPx) + (s % 8) / 8) / squarePx);
        const y = Math.floor((Math.floor(i / widthPx) + Math.floor(s / 8) / 8) / squarePx);
        sum += dark[y * side + x] ? 35 : 225;
      }
      return sum / 64;
    });
    return { widthPx, heightPx, grey };
  };
  for (const squarePx of [0.6, 0.8, 1.3, 1.7])
    assert.equal(isResolved(picture(squarePx), box), false, `${squarePx} px`);
  for (const squarePx of [4, 7.3]) assert.equal(isResolved(picture(squarePx), box), true, `${squarePx} px`);
});
