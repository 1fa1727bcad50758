import { applyHomography, composeHomographies, invertHomography, type Matrix3 } from "@samescale/geometry";
import type { GreyPicture } from "../../src/decode/picture.ts";

/** Pictures for the alignment tests: skin-like texture of our own making, so that every movement is known. */

type Random = () => number;
export type Brightness = (x: number, y: number) => number;

/** Mottling at several sizes, spots and hairs over ±`reach` units; the same `random` draws the same skin. */
export function madeSkin(random: Random, contrast = 1): Brightness {
  const waves = Array.from({ length: 32 }, (_, i) => {
    const size = 4 * 1.24 ** i; // 4 to some 3000 px
    const turn = 2 * Math.PI * random();
    return {
      kx: (2 * Math.PI * Math.cos(turn)) / size,
      ky: (2 * Math.PI * Math.sin(turn)) / size,
      at: 6.3 * random(),
    };
  });
  const spots = new Map<string, { x: number; y: number; r: number; deep: number }[]>();
  const CELL = 24; // wider than any spot reaches
  for (let i = 0; i < 220; i++) {
    const [x, y] = [700 * random() - 100, 550 * random() - 100];
    const spot = { x, y, r: 1.5 + 4 * random() ** 2, deep: (10 + 40 * random()) * contrast };
    for (const [dx, dy] of [-1, 0, 1].flatMap((u) => [-1, 0, 1].map((v) => [u, v] as const))) {
      const cell = `${Math.floor(x / CELL) + dx},${Math.floor(y / CELL) + dy}`;
      spots.set(cell, [...(spots.get(cell) ?? []), spot]);
    }
  }
  return (x, y) => {
    let v = 150;
    for (const w of waves) v += 3 * contrast * Math.sin(w.kx * x + w.ky * y + w.at);
    for (const s of spots.get(`${Math.floor(x / CELL)},${Math.floor(y / CELL)}`) ?? []) {
      v -= s.deep * Math.exp(-((x - s.x) ** 2 + (y - s.y) ** 2) / (s.r * s.r));
    }
    return v;
  };
}

/** What a camera sees that maps scene to picture by `h`; `noise` in grey levels, seeded. */
export function photograph(
  scene: Brightness,
  h: Matrix3,
  options: { widthPx?: number; heightPx?: number; noise?: number; gain?: Brightness; random: Random },
): GreyPicture {
  const { widthPx = 480, heightPx = 360, noise = 1.5, gain = () => 1, random } = options;
  const back = invertHomography(h);
  const grey = new Float32Array(widthPx * heightPx);
  for (let y = 0, i = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++, i++) {
      const p = applyHomography(back, { x: x + 0.5, y: y + 0.5 });
      const v = scene(p.x, p.y) * gain(x, y) + noise * (random() + random() + random() - 1.5) * 2;
      grey[i] = Math.max(0, Math.min(255, Math.round(v)));
    }
  }
  return { widthPx, heightPx, grey };
}

/** Scale, turn, lean and shift about the middle of a 480 × 360 picture. */
export function move(scale: number, turnDeg: number, lean: number, dx: number, dy: number): Matrix3 {
  const a = (turnDeg * Math.PI) / 180;
  const to: Matrix3 = [
    [1, 0, -240],
    [0, 1, -180],
    [0, 0, 1],
  ];
  const turned: Matrix3 = [
    [scale * Math.cos(a), -scale * Math.sin(a), 0],
    [scale * Math.sin(a), scale * Math.cos(a), 0],
    [lean / 480, (-0.6 * lean) / 480, 1],
  ];
  const back: Matrix3 = [
    [1, 0, 240 + dx],
    [0, 1, 180 + dy],
    [0, 0, 1],
  ];
  return composeHomographies(back, composeHomographies(turned, to));
}

export const STILL: Matrix3 = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];

/** Mean distance, per 1000 px of the longer side, between where `found` and the truth put follow-up points. */
export function meanError(
  found: Matrix3,
  truth: Matrix3,
  inside: (x: number, y: number) => boolean = () => true,
) {
  let sum = 0;
  let n = 0;
  for (let y = 18; y < 360; y += 36) {
    for (let x = 24; x < 480; x += 48) {
      const want = applyHomography(truth, { x, y });
      if (want.x < 0 || want.y < 0 || want.x > 480 || want.y > 360 || !inside(want.x, want.y)) continue;
      const got = applyHomography(found, { x, y });
      sum += Math.hypot(got.x - want.x, got.y - want.y);
      n++;
    }
  }
  return ((sum / n) * 1000) / 480;
}
