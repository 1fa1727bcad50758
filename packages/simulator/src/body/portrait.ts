import { seededRandom } from "@samescale/geometry";
import { ink, type Mark, type Rgb } from "../artwork/mark.ts";
import { circle, stroke } from "../artwork/shapes.ts";
import { grey, rgb8 } from "../colour/colour.ts";
import { smoothNoise, smoothstep } from "../noise/hash.ts";
import { type SkinTone, skinRgb } from "../skin/tone.ts";
import type { BodyArt } from "./body.ts";
import { crease, curveThrough, flush } from "./shapes.ts";

/** A drawn head and shoulders for a staff notice: plainly a drawing, nobody's likeness. Eyes at y = 0. */
export function portraitArt(seed: number, tone: SkinTone): BodyArt {
  const run = seededRandom(seed);
  const hair = ([rgb8(52, 36, 26), rgb8(24, 22, 22), rgb8(120, 112, 106), rgb8(94, 62, 36)] as const)[
    Math.floor(run() * 4)
  ]!;
  const shirt = ([rgb8(58, 92, 120), rgb8(84, 104, 92), rgb8(98, 88, 112)] as const)[Math.floor(run() * 3)]!;
  const head = curveThrough([
    [-66, -30],
    [-58, -78],
    [0, -104],
    [58, -78],
    [66, -30],
    [64, 14],
    [56, 52],
    [32, 88],
    [0, 100],
    [-32, 88],
    [-56, 52],
    [-64, 14],
  ]);
  const neck = curveThrough([
    [-36, 60],
    [36, 60],
    [38, 120],
    [60, 150],
    [0, 190],
    [-60, 150],
    [-38, 120],
  ]);
  const ears = [circle(-67, 12, 13, 40), circle(67, 12, 13, 40)];
  const details: Mark[] = [
    flush(-36, 42, 30, 0.22),
    flush(36, 42, 30, 0.22),
    flush(0, 40, 17, 0.16),
    underChin(),
    crease(
      [
        [-9, 46],
        [0, 50],
        [9, 46],
      ],
      4,
      0.35,
    ),
    crease(
      [
        [-6, 4],
        [-9, 34],
        [-11, 42],
      ],
      5,
      0.12,
    ),
    crease(
      [
        [-22, 70],
        [-8, 73],
        [0, 72],
        [8, 73],
        [22, 70],
      ],
      2.4,
      0.8,
    ),
    lips(tone),
  ];
  for (const side of [-1, 1]) details.push(...eye(side * 31, 0, side), ...brow(side * 31, -17, side, hair));
  return {
    outline: [head, neck, ...ears],
    rounded: [head, neck, ...ears, SHIRT],
    roundMm: 46,
    details,
    over: [...clothes(shirt), scalpHair(hair, seed)],
  };
}

function eye(x: number, y: number, side: number): Mark[] {
  const almond = curveThrough([
    [x - 15, y + 1],
    [x - 6, y - 6],
    [x + 5, y - 6.5],
    [x + 15, y],
    [x + 5, y + 5],
    [x - 6, y + 5],
  ]);
  return [
    crease(
      [
        [x - 17, y - 4],
        [x, y - 11],
        [x + 17, y - 4],
      ],
      4,
      0.3,
    ),
    ink([almond], grey(0.62), 0.95),
    ink([circle(x + side * 0.5, y - 0.5, 5.6)], rgb8(74, 58, 44)),
    ink([circle(x + side * 0.5, y - 0.5, 2.5)], grey(0.01)),
    ink([circle(x - 1.6, y - 2.4, 1.1)], grey(0.95)),
    ink(
      stroke(
        [
          [x - 15.5, y + 1],
          [x - 6, y - 6.3],
          [x + 5, y - 6.8],
          [x + 15.5, y],
        ],
        1.7,
      ),
      grey(0.03),
      0.85,
    ),
  ];
}

function brow(x: number, y: number, side: number, hair: Rgb): Mark[] {
  const inner = x - side * 17;
  return [
    ink(
      stroke(
        [
          [inner, y + 1],
          [x, y - 4],
          [x + side * 18, y + 2],
        ],
        5.5,
        2,
      ),
      [hair[0] * 0.7, hair[1] * 0.7, hair[2] * 0.7],
      0.8,
    ),
  ];
}

function lips(tone: SkinTone): Mark {
  const skin = skinRgb(tone);
  const ring = curveThrough([
    [-24, 70],
    [-9, 65.5],
    [0, 67.5],
    [9, 65.5],
    [24, 70],
    [11, 79],
    [-11, 79],
  ]);
  return ink([ring], [skin[0] * 0.85, skin[1] * 0.6, skin[2] * 0.62], 0.55);
}

function underChin(): Mark {
  return {
    rings: [Float64Array.of(-37, 80, 37, 80, 39, 150, -39, 150)],
    fill: {
      kind: "stain",
      shade: (x, y, out) => {
        // The jaw's shadow on the neck: below the chin's arc.
        const below = y - (100 - (x * x) / 60);
        const k = 0.55 * smoothstep(-2, 5, below) * (1 - smoothstep(10, 60, below));
        out[0] = 1 - k * 0.8;
        out[1] = 1 - k;
        out[2] = 1 - k;
      },
    },
  };
}

const SHIRT = curveThrough([
  [-46, 128],
  [0, 186],
  [46, 128],
  [110, 152],
  [170, 196],
  [190, 420],
  [-190, 420],
  [-170, 196],
  [-110, 152],
]);

function clothes(shirt: Rgb): Mark[] {
  return [
    {
      rings: [SHIRT],
      fill: {
        kind: "paint",
        shade: (x, y, out) => {
          const fold =
            1 + 0.16 * smoothNoise(x / 26 + y / 90, y / 70, 5) + 0.05 * smoothNoise(x * 1.4, y * 1.4, 6);
          const round = 1 - 0.35 * smoothstep(90, 190, Math.abs(x));
          const collar =
            1 -
            0.3 * (1 - smoothstep(0, 7, Math.abs(y - 128 - (58 * (46 - Math.min(46, Math.abs(x)))) / 46)));
          for (let i = 0; i < 3; i++) out[i] = shirt[i]! * fold * round * collar;
          out[3] = 1;
        },
      },
    },
  ];
}

function scalpHair(hair: Rgb, seed: number): Mark {
  const ring = curveThrough([
    [-70, 6],
    [-76, -50],
    [-52, -104],
    [0, -122],
    [52, -104],
    [76, -50],
    [70, 6],
    [62, -30],
    [48, -62],
    [8, -78],
    [-30, -68],
    [-58, -36],
  ]);
  return {
    rings: [ring],
    fill: {
      kind: "paint",
      shade: (x, y, out) => {
        const around = Math.atan2(y + 20, x) * 26;
        const radius = Math.hypot(x, y + 20);
        const strand =
          smoothNoise(around, radius / 22, seed) + 0.6 * smoothNoise(around * 2.6, radius / 14, seed + 1);
        const gloss = Math.exp(-(((radius - 86) / 13) ** 2));
        const k = 1 + 0.32 * strand + 0.9 * gloss * (0.6 + 0.4 * strand);
        for (let i = 0; i < 3; i++) out[i] = Math.max(0.004, hair[i]! * k);
        out[3] = 1;
      },
    },
  };
}
