import type { Picture } from "../../packages/simulator/src/index.ts";

/** What a camera's own development, and what stands in the light, do to a rendered picture. */
export interface Look {
  /** 0: none; 1: the curve 3v² − 2v³ over the coded values. */
  readonly contrast: number;
  /** How much of each channel leaks into the others, in linear light: a duller camera. */
  readonly crosstalk: number;
  /** The picture is turned left for right. */
  readonly mirrored: boolean;
  readonly shade: {
    readonly through: readonly [x: number, y: number];
    readonly directionDeg: number;
    /** Light that is left in the shade, by channel. */
    readonly light: readonly [r: number, g: number, b: number];
    readonly softPx: number;
  } | null;
}

const linearOf = Float64Array.from({ length: 256 }, (_, v) => {
  const c = v / 255;
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
});

export function developed(picture: Picture, { contrast, crosstalk, mirrored, shade }: Look): Picture {
  const { widthPx: w, heightPx: h } = picture;
  const coded = codedTable(contrast);
  const rgb = new Uint8Array(picture.rgb.length);
  const own = 1 - 2 * crosstalk;
  const [nx, ny] = shade ? unit(shade.directionDeg) : [0, 0];
  for (let y = 0, i = 0; y < h; y++) {
    for (let x = 0; x < w; x++, i += 3) {
      // 1 in the light, 0 in the shade
      const lit = shade
        ? 1 /
          (1 + Math.exp((-4 * ((x - shade.through[0]) * nx + (y - shade.through[1]) * ny)) / shade.softPx))
        : 1;
      const light = (c: 0 | 1 | 2): number => (shade ? shade.light[c] + (1 - shade.light[c]) * lit : 1);
      const r = light(0) * linearOf[picture.rgb[i]!]!;
      const g = light(1) * linearOf[picture.rgb[i + 1]!]!;
      const b = light(2) * linearOf[picture.rgb[i + 2]!]!;
      const to = 3 * (y * w + (mirrored ? w - 1 - x : x));
      rgb[to] = coded[index(own * r + crosstalk * (g + b))]!;
      rgb[to + 1] = coded[index(own * g + crosstalk * (r + b))]!;
      rgb[to + 2] = coded[index(own * b + crosstalk * (r + g))]!;
    }
  }
  return { ...picture, rgb };
}

const STEPS = 16384;
const index = (light: number): number => Math.round(Math.min(1, Math.max(0, light)) * STEPS);

function codedTable(contrast: number): Uint8Array {
  return Uint8Array.from({ length: STEPS + 1 }, (_, i) => {
    const light = i / STEPS;
    const v = light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055;
    return Math.round(255 * ((1 - contrast) * v + contrast * (3 * v * v - 2 * v ** 3)));
  });
}

function unit(deg: number): [number, number] {
  return [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
}
