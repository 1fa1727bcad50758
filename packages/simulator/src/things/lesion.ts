import { fractalNoise, smoothNoise, smoothstep } from "../noise/hash.ts";
import { BLOOD, MELANIN } from "../skin/tone.ts";
import { blobOf, ringOf } from "./outline.ts";
import type { Artwork, Placed } from "./thing.ts";

/** A pigmented lesion. Its outline runs where the pigment has half its strength. */
export interface Lesion extends Placed {
  readonly kind: "lesion";
  readonly seed: number;
  readonly lengthMm: number;
  readonly widthMm: number;
  readonly irregularity?: number;
  /** Pigment, 0 to 2. */
  readonly darkness?: number;
  /** How many tones of brown, 0 = one. */
  readonly variety?: number;
}

export function lesion(thing: Lesion): Artwork {
  const shape = blobOf(thing.lengthMm, thing.widthMm, thing.irregularity ?? 0.35, thing.seed);
  const darkness = thing.darkness ?? 1;
  const variety = thing.variety ?? 0.6;
  const { seed } = thing;
  return {
    marks: [
      {
        rings: [ringOf((angle) => shape.radiusAt(angle) + 1.5)],
        fill: {
          kind: "stain",
          shade: (x, y, out) => {
            const outside = Math.hypot(x, y) - shape.radiusAt(Math.atan2(y, x));
            const body = 1 - smoothstep(-0.45, 0.45, outside);
            const tone = fractalNoise(x / 2.6, y / 2.6, seed + 1, 3);
            const net = Math.abs(smoothNoise(x * 2.4, y * 2.4, seed + 2));
            const dots = smoothstep(0.62, 0.8, smoothNoise(x * 1.9, y * 1.9, seed + 3));
            const k = darkness * body * (1.05 + variety * (0.85 * tone + 0.45 * dots) - 0.28 * net);
            const red = 0.35 * variety * body * smoothstep(0.1, 0.5, -tone);
            for (let i = 0; i < 3; i++) out[i] = Math.exp(-k * MELANIN[i]! - red * BLOOD[i]!);
          },
        },
      },
    ],
    wraps: true,
    regions: [{ name: "lesion", outline: shape.outline, holes: [] }],
    facts: { darkness, variety },
  };
}
