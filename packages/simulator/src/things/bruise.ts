import type { Rgb } from "../artwork/mark.ts";
import { fractalNoise, smoothstep } from "../noise/hash.ts";
import { blobOf, ringOf } from "./outline.ts";
import type { Artwork, Placed } from "./thing.ts";

/** A bruise. It has no sharp edge: the outline in the truth runs where it has half its strength. */
export interface Bruise extends Placed {
  readonly kind: "bruise";
  readonly seed: number;
  readonly lengthMm: number;
  readonly widthMm: number;
  /** The colour turns from red over blue and green to yellow; how fast differs between people. */
  readonly days?: number;
  /** Two parallel bands with a pale middle, as a rod leaves. */
  readonly tramline?: boolean;
}

/** Absorption per day stage in the three primaries. Stylised; nothing about age can be read from it. */
const STAGES: readonly (readonly [days: number, absorption: Rgb])[] = [
  [0, [0.25, 1.1, 0.85]],
  [2, [0.8, 1.05, 0.6]],
  [5, [0.75, 0.5, 0.75]],
  [9, [0.25, 0.35, 1]],
  [16, [0.05, 0.1, 0.3]],
];

export function bruise(thing: Bruise): Artwork {
  const shape = blobOf(thing.lengthMm, thing.widthMm, thing.tramline ? 0.12 : 0.4, thing.seed);
  const days = thing.days ?? 1;
  const core = absorptionAt(days);
  const margin = absorptionAt(days + 4);
  const soft = Math.min(thing.lengthMm, thing.widthMm) * (thing.tramline ? 0.09 : 0.22);
  const { seed } = thing;
  return {
    marks: [
      {
        rings: [ringOf((angle) => shape.radiusAt(angle) + soft * 1.6)],
        fill: {
          kind: "stain",
          shade: (x, y, out) => {
            const outside = Math.hypot(x, y) - shape.radiusAt(Math.atan2(y, x));
            const cloud = fractalNoise(x / 11, y / 11, seed + 1, 4, 0.6);
            const points = smoothstep(0.25, 0.6, fractalNoise(x / 1.3, y / 1.3, seed + 2, 2));
            const body = 1 - smoothstep(-soft, soft, outside + soft * 0.5 * cloud);
            const pale = thing.tramline ? Math.exp(-((y / (thing.widthMm * 0.2)) ** 2)) * 0.85 : 0;
            const k = body * (1 - pale) * (0.85 + 0.55 * cloud + 0.25 * points);
            const rim = smoothstep(-soft * 1.5, soft, outside);
            for (let i = 0; i < 3; i++)
              out[i] = Math.exp(-Math.max(0, k) * (core[i]! + (margin[i]! - core[i]!) * rim));
          },
        },
      },
    ],
    wraps: true,
    regions: [{ name: "bruise", outline: shape.outline, holes: [] }],
    facts: { days },
  };
}

function absorptionAt(days: number): Rgb {
  for (let i = 1; i < STAGES.length; i++) {
    const [to, b] = STAGES[i]!;
    const [from, a] = STAGES[i - 1]!;
    if (days > to) continue;
    const t = (days - from) / (to - from);
    return [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t, a[2] + (b[2] - a[2]) * t];
  }
  return STAGES.at(-1)![1];
}
