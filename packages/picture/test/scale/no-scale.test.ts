import assert from "node:assert/strict";
import { test } from "node:test";
import { seededRandom } from "@samescale/geometry";
import { readScale } from "../../src/scale/read-scale.ts";
import {
  barcode,
  brickwork,
  chessboard,
  comb,
  corrugated,
  grid,
  keyboard,
  matrixCode,
  textPage,
  weave,
} from "./drawings.ts";
import type { Drawing } from "./drawn-picture.ts";
import { shoot } from "./reading.ts";

const things: [name: string, draw: (random: () => number) => Drawing][] = [
  ["a chessboard", () => chessboard(1.5)],
  ["a weave", () => weave(1)],
  ["a grid", () => grid(1, 0.2)],
  ["a comb", () => comb(1.2, 0.5, 7)],
  ["a barcode", (random) => barcode(0.6, 12, random)],
  ["a matrix code", (random) => matrixCode(1, random)],
  ["a keyboard", () => keyboard(2)],
  ["a page of text", (random) => textPage(3, random)],
  ["corrugated card", () => corrugated(1.1)],
  ["brickwork", () => brickwork(2)],
];

for (const [name, draw] of things) {
  test(`${name} is no scale, from wherever it is seen`, () => {
    for (const seed of [1, 2, 3]) {
      const random = seededRandom(seed);
      const pose = {
        widthPx: 640,
        heightPx: 480,
        pxPerMm: 5 + 9 * random(),
        tiltDeg: 30 * random(),
        recedesDeg: 360 * random(),
        rollDeg: 180 * random(),
        centreMm: [20, 8] as const,
      };
      const reading = readScale(shoot(draw(random), pose, seed).picture);
      assert.ok(!reading.found, `seed ${seed}`);
      assert.match(reading.reason, /points/);
    }
  });
}
