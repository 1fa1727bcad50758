import { seededRandom } from "@samescale/geometry";
import type { ScaleFound } from "../../src/answers.ts";
import { look } from "../../src/checks/look.ts";
import { reduced } from "../../src/checks/reduced.ts";
import { linearToSrgb } from "../../src/colour/space.ts";
import { wholeGreyOf } from "../../src/decode/decode.ts";
import type { UprightPicture } from "../../src/decode/picture.ts";

type Light = readonly [r: number, g: number, b: number];

/** Reflectances of light and of dark skin, of cloths and of paper, linear light: invented, of the usual hues. */
export const LIGHT_SKIN: Light = [0.52, 0.37, 0.3];
export const DARK_SKIN: Light = [0.105, 0.066, 0.05];
export const BLUE_CLOTH: Light = [0.07, 0.16, 0.3];
export const PAPER: Light = [0.8, 0.8, 0.8];

export const WIDE = 900;
export const HIGH = 600;

/** Fine enough for the darkest of 255 levels, and a table is quick. */
const STEPS = 16384;
const coded = Uint8Array.from({ length: STEPS + 1 }, (_, i) => Math.round(255 * linearToSrgb(i / STEPS)));

/** A frame drawn place by place in linear light, with a little noise as every camera has. */
export function frame(lightAt: (x: number, y: number) => Light, noise = 0.004): UprightPicture {
  const rgb = new Uint8Array(WIDE * HIGH * 3);
  const random = seededRandom(7);
  for (let y = 0, i = 0; y < HIGH; y++) {
    for (let x = 0; x < WIDE; x++) {
      for (const light of lightAt(x + 0.5, y + 0.5)) {
        const seen = Math.min(1, Math.max(0, light + noise * (random() + random() - 1)));
        rgb[i++] = coded[Math.round(seen * STEPS)]!;
      }
    }
  }
  return { widthPx: WIDE, heightPx: HIGH, rgb };
}

export const times = ([r, g, b]: Light, k: number): Light => [r * k, g * k, b * k];

/** An arm that runs through the frame from left to right. */
export const inArm = (_x: number, y: number, from = 180, to = 420): boolean => y > from && y < to;

export const lookAt = (picture: UprightPicture, scale?: ScaleFound) =>
  look(reduced(picture), wholeGreyOf(picture), scale);

/** A reading of a scale whose graduations stand along a level line. */
export function readingAlong(
  fromX: number,
  toX: number,
  y: number,
  pxPerMm: number,
  turnDeg = 0,
): ScaleFound {
  const [c, s] = [Math.cos((turnDeg * Math.PI) / 180), Math.sin((turnDeg * Math.PI) / 180)];
  const count = Math.floor((toX - fromX) / pxPerMm);
  const ticks = Array.from({ length: count + 1 }, (_, mm) => ({
    x: fromX + c * mm * pxPerMm,
    y: y + s * mm * pxPerMm,
    mm,
  }));
  return {
    file: "drawn",
    widthPx: WIDE,
    heightPx: HIGH,
    found: true,
    scales: [
      {
        kind: "straight",
        unit: "mm",
        pxPerMm: { value: pxPerMm, u95: 0.01 },
        at: { x: (fromX + toX) / 2, y },
        axisDeg: turnDeg,
        ticks,
        coverageMm: count,
        residualPx: 0.1,
      },
    ],
    plane: null,
    reproductionRatio: null,
    warnings: [],
    recipe: { step: "scale", version: 0, parameters: {} },
  };
}

export function mustJudge<T>(
  what: ({ readonly judged: true } & T) | { readonly judged: false; readonly why: string },
): T {
  if (!what.judged) throw new Error(`not judged: ${what.why}`);
  return what;
}
