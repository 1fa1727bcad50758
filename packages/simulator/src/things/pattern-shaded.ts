import type { Mark, Ring } from "../artwork/mark.ts";
import { smoothNoise } from "../noise/hash.ts";

/** Patterns whose repeat is a change of shade: cloth and board. */
export type ShadedPattern = "webbing" | "corrugated" | "weave" | "stripes";

type Shade = (x: number, y: number, pitchMm: number) => number;

const SHADES: Readonly<Record<ShadedPattern, Shade>> = {
  webbing: (x, y, p) =>
    0.22 +
    0.12 * Math.sin((2 * Math.PI * x) / p) * Math.sin((Math.PI * y) / p) +
    0.05 * Math.sin((2 * Math.PI * (x + y)) / p),
  corrugated: (x, y, p) =>
    0.42 + 0.11 * Math.sin((2 * Math.PI * (x + 0.3 * smoothNoise(x / 30, y / 30, 3))) / p),
  weave: plainWeave,
  stripes: (x, _y, p) => {
    const at = x / p - Math.floor(x / p);
    return at < 0.32 ? 0.12 : at > 0.62 && at < 0.7 ? 0.3 : 0.55;
  },
};

const TINTS: Readonly<Record<ShadedPattern, readonly [number, number, number]>> = {
  webbing: [1, 1, 1],
  corrugated: [1.15, 0.86, 0.6],
  weave: [0.95, 1, 1.04],
  stripes: [0.92, 0.98, 1.08],
};

export function shadedMark(pattern: ShadedPattern, body: Ring, pitchMm: number): Mark {
  const shade = SHADES[pattern];
  const tint = TINTS[pattern];
  return {
    rings: [body],
    fill: {
      kind: "paint",
      shade: (x, y, out) => {
        const k = shade(x, y, pitchMm) * (1 + 0.05 * smoothNoise(x * 1.7, y * 1.7, 5));
        for (let i = 0; i < 3; i++) out[i] = k * tint[i]!;
        out[3] = 1;
      },
    },
  };
}

/** Threads over and under each other by turns, two to a repeat; each is round, and dark where it dives. */
function plainWeave(x: number, y: number, p: number): number {
  const thread = p / 2;
  const [i, j] = [Math.floor(x / thread), Math.floor(y / thread)];
  const [u, v] = [x / thread - i - 0.5, y / thread - j - 0.5];
  const warp = ((i + j) & 1) === 0;
  const [across, along] = warp ? [u, v] : [v, u];
  const uneven = 1 + 0.06 * smoothNoise(warp ? i * 3.1 : x / 9, warp ? y / 9 : j * 3.1, 11);
  return uneven * (0.14 + 0.44 * Math.sqrt(Math.max(0, 1 - (1.9 * across) ** 2)) * Math.cos(1.5 * along));
}
