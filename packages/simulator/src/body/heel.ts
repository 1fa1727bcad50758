import { seededRandom } from "@samescale/geometry";
import type { Mark } from "../artwork/mark.ts";

import type { SkinTone } from "../skin/tone.ts";
import type { BodyArt } from "./body.ts";
import { crease, curveThrough, flush } from "./shapes.ts";

/** The sole side of a heel, the foot running up out of the picture. */
export function heelArt(_tone: SkinTone): BodyArt {
  const outline = curveThrough([
    [-29, -210],
    [29, -210],
    [32, -120],
    [27, -60],
    [31, -25],
    [33, 6],
    [26, 32],
    [0, 44],
    [-26, 32],
    [-33, 6],
    [-30, -25],
    [-22, -60],
    [-26, -120],
  ]);
  const details: Mark[] = [flush(-14, 20, 26, 0.22), flush(15, 18, 24, 0.2), flush(0, -70, 50, 0.12)];
  const run = seededRandom(4711);
  for (let i = 0; i < 26; i++) {
    const a = (0.1 + 0.8 * run()) * Math.PI;
    const r = 22 + 12 * run();
    const x = r * Math.cos(a) * 0.85;
    const y = r * Math.sin(a) * 1.05 + 4;
    const length = 2 + 4 * run();
    details.push(
      crease(
        [
          [x, y],
          [x + length * Math.cos(a) * 0.5, y + length * Math.sin(a) * 0.5],
        ],
        0.5,
        0.22,
      ),
    );
  }
  return { outline: [outline], roundMm: 17, details, over: [] };
}
