import { existsSync, readdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import {
  applyHomography,
  composeHomographies,
  invertHomography,
  type Matrix3,
  seededRandom,
} from "../../packages/geometry/src/index.ts";
import { decodePicture, greyOf } from "../../packages/picture/src/decode/decode.ts";
import type { GreyPicture } from "../../packages/picture/src/decode/picture.ts";

/** Photographs of real skin that are moved by a known amount, and the situations that mislead. Needs ../shared/data. */

const data = new URL("../../../shared/data/", import.meta.url);
export const photographsAreHere = existsSync(data);

const list = (folder: string) => (photographsAreHere ? readdirSync(new URL(folder, data)) : []);
const skins = list("wounds/images/").map((f) => `wounds/images/${f}`);
const cloths = [
  ...list("pairs/")
    .filter((f) => /-1\.(png|jpg)$|-wall\.png$/.test(f))
    .map((f) => `pairs/${f}`),
  ...list("rulers/")
    .filter((f) => f.endsWith(".jpg"))
    .map((f) => `rulers/${f}`),
];
const load = async (file: string) =>
  greyOf(await decodePicture(fileURLToPath(new URL(file, data)), { maxSidePx: 1000 }));

type Random = () => number;
/** Grey value at outer-corner coordinates. */
type Look = (x: number, y: number) => number;

function lookOf({ widthPx: w, heightPx: h, grey }: GreyPicture, wrap = false): Look {
  return (x, y) => {
    const [u, v] = wrap ? [((x % w) + w) % w, ((y % h) + h) % h] : [x, y];
    if (u < 0 || v < 0 || u > w || v > h) return 127;
    const x0 = Math.max(0, Math.min(w - 2, Math.floor(u - 0.5)));
    const y0 = Math.max(0, Math.min(h - 2, Math.floor(v - 0.5)));
    const fx = Math.max(0, Math.min(1, u - 0.5 - x0));
    const fy = Math.max(0, Math.min(1, v - 0.5 - y0));
    const i = y0 * w + x0;
    const top = (1 - fx) * grey[i]! + fx * grey[i + 1]!;
    const low = (1 - fx) * grey[i + w]! + fx * grey[i + w + 1]!;
    return (1 - fy) * top + fy * low;
  };
}

const moved = (look: Look, h: Matrix3): Look => {
  const back = invertHomography(h);
  return (x, y) => {
    const p = applyHomography(back, { x, y });
    return look(p.x, p.y);
  };
};

/** One exposure: light from a side, another tone curve, noise. */
function shot(look: Look, w: number, h: number, random: Random, harshness = 1): GreyPicture {
  const pick = () => harshness * (2 * random() - 1);
  const [gx, gy, gamma] = [0.25 * pick(), 0.25 * pick(), 1 + 0.25 * pick()];
  const noise = 1.5 + 2 * harshness * random();
  const grey = new Float32Array(w * h);
  for (let y = 0, i = 0; y < h; y++) {
    for (let x = 0; x < w; x++, i++) {
      const light = 1 + gx * (x / w - 0.5) + gy * (y / h - 0.5);
      const value = 255 * (Math.max(0, look(x + 0.5, y + 0.5)) / 255) ** gamma * light;
      const normal = Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
      grey[i] = Math.max(0, Math.min(255, Math.round(value + noise * normal)));
    }
  }
  return { widthPx: w, heightPx: h, grey };
}

/** Scale ±15 %, turn ±20°, a lean, a shift of up to 8 %; about the middle. */
function camera(random: Random, w: number, h: number, size = 1): Matrix3 {
  const pick = (most: number) => size * most * (2 * random() - 1);
  const [s, a] = [1 + pick(0.15), pick(0.35)];
  const to: Matrix3 = [
    [1, 0, -w / 2],
    [0, 1, -h / 2],
    [0, 0, 1],
  ];
  const turn: Matrix3 = [
    [s * Math.cos(a), -s * Math.sin(a), 0],
    [s * Math.sin(a), s * Math.cos(a), 0],
    [pick(0.15) / w, pick(0.15) / h, 1],
  ];
  const back: Matrix3 = [
    [1, 0, w / 2 + pick(0.08) * w],
    [0, 1, h / 2 + pick(0.08) * h],
    [0, 0, 1],
  ];
  return composeHomographies(back, composeHomographies(turn, to));
}

export interface Case {
  readonly baseline: GreyPicture;
  readonly followup: GreyPicture;
  /** Baseline → follow-up; null: there is no answer. */
  readonly truth: Matrix3 | null;
  /** Where the subject lies in the baseline. */
  readonly subject: (x: number, y: number) => boolean;
}

export async function casesOf(round: number): Promise<Record<string, () => Case>> {
  const random = seededRandom(1000 + round);
  const draw = () => skins[Math.floor(random() * skins.length)]!;
  const mine = draw();
  let theirs = draw();
  while (theirs === mine) theirs = draw();
  const picture = await load(mine);
  const { widthPx: w, heightPx: h } = picture;
  const [skin, other] = [lookOf(picture), lookOf(await load(theirs), true)];
  const cloth = lookOf(await load(cloths[round % cloths.length]!), true);
  const [move, clothMove] = [camera(random, w, h), camera(random, w, h, 0.6)];
  const [rx, ry] = random() < 0.5 ? [0.22, 0.28] : [0.33, 0.4];
  const body = (x: number, y: number) => ((x / w - 0.5) / rx) ** 2 + ((y / h - 0.5) / ry) ** 2 < 1;
  const still: Matrix3 = [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ];
  const before = (look: Look, h1: Matrix3, h2: Matrix3): Look => {
    const [front, behind, back] = [moved(look, h1), moved(cloth, h2), invertHomography(h1)];
    return (x, y) => {
      const p = applyHomography(back, { x, y });
      return body(p.x, p.y) ? front(x, y) : behind(x, y);
    };
  };
  const changed = (share: number, how: Matrix3): Look => {
    const look = moved(skin, how);
    return (x, y) => (Math.hypot(x - 0.55 * w, y - 0.5 * h) < share * w ? other(7 * x, y) : look(x, y));
  };
  const marked =
    (look: Look): Look =>
    (x, y) => {
      const d = Math.hypot(x - w / 2, y - h / 2);
      const line = Math.min(
        Math.abs(x - w / 2),
        Math.abs(y - h / 2),
        Math.abs(d - 0.2 * w),
        Math.abs(d - 0.35 * w),
      );
      return d > 0.48 * w ? 0 : line < 1 ? 240 : look(x, y);
    };
  const mirror: Matrix3 = [
    [-1, 0, w],
    [0, 1, 0],
    [0, 0, 1],
  ];
  const pair = (
    a: Look,
    b: Look,
    truth: Matrix3 | null,
    subject: Case["subject"] = () => true,
    harshness = 1,
  ): Case => ({
    baseline: shot(a, w, h, random, harshness),
    followup: shot(b, w, h, random, harshness),
    truth,
    subject,
  });
  return {
    "moved, a region changed": () => pair(skin, changed(0.12, move), move),
    "harsh light and noise, more changed": () => pair(skin, changed(0.2, move), move, undefined, 2),
    "from a stand, a region changed": () => pair(skin, changed(0.12, still), still),
    "subject before a still cloth": () =>
      pair(before(skin, still, still), before(skin, move, still), move, body),
    "subject and cloth moved apart": () =>
      pair(before(skin, still, still), before(skin, move, clothMove), move, body),
    "a mark burnt into both": () => pair(marked(skin), marked(moved(skin, move)), move),
    "no answer: unrelated": () => pair(skin, other, null),
    "no answer: two subjects, still cloth": () =>
      pair(before(skin, still, still), before(other, still, still), null),
    "no answer: two subjects, moved cloth": () =>
      pair(before(skin, still, still), before(other, clothMove, clothMove), null),
    "no answer: one mark over two subjects": () => pair(marked(skin), marked(other), null),
    "no answer: mirrored": () => pair(skin, moved(skin, composeHomographies(move, mirror)), null),
  };
}

/** Over the subject, per 1000 px of the longer side. */
export function meanErrorPx({ baseline, truth, subject }: Case, found: Matrix3): number {
  const { widthPx: w, heightPx: h } = baseline;
  let sum = 0;
  let n = 0;
  for (let y = h / 40; y < h; y += h / 20) {
    for (let x = w / 40; x < w; x += w / 20) {
      if (!subject(x, y)) continue;
      const there = applyHomography(truth!, { x, y });
      if (there.x < 0 || there.y < 0 || there.x > w || there.y > h) continue;
      const back = applyHomography(found, there);
      sum += Math.hypot(back.x - x, back.y - y);
      n++;
    }
  }
  return ((sum / n) * 1000) / Math.max(w, h);
}
