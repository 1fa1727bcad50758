import type { Mark, Rgb } from "../artwork/mark.ts";
import { circle, rect, reversed, roundedRect } from "../artwork/shapes.ts";
import { capsule } from "../body/shapes.ts";
import { rgb8 } from "../colour/colour.ts";
import { gridded } from "../noise/gridded.ts";
import { fractalNoise, smoothNoise, smoothstep } from "../noise/hash.ts";
import { type SkinTone, skinRgb } from "../skin/tone.ts";
import { foldsAt } from "../surface/backdrop.ts";
import { blobOf, ringOf } from "./outline.ts";
import type { Artwork, Placed } from "./thing.ts";

/** Cloth with folds lying on the surface, with or without a window. Placed by its middle. */
export interface Cloth extends Placed {
  readonly kind: "cloth";
  readonly widthMm: number;
  readonly heightMm: number;
  readonly windowMm?: {
    readonly x: number;
    readonly y: number;
    readonly width: number;
    readonly height: number;
  };
  readonly rgb?: Rgb;
  readonly folds?: number;
  readonly seed?: number;
}

export function cloth(thing: Cloth): Artwork {
  const rgb = thing.rgb ?? rgb8(58, 128, 122);
  const seed = thing.seed ?? 1;
  const folds = thing.folds ?? 0.7;
  const { widthMm: w, heightMm: h, windowMm: window } = thing;
  const rings = [rect(-w / 2, -h / 2, w / 2, h / 2)];
  const lay = gridded((x, y) => foldsAt(x, y, folds, 0, seed), w, h, 1.5);
  if (window) {
    const { x, y, width, height } = window;
    rings.push(reversed(roundedRect(x - width / 2, y - height / 2, x + width / 2, y + height / 2, 6)));
  }
  return {
    marks: [
      {
        rings,
        fill: {
          kind: "paint",
          shade: (x, y, out) => {
            const weave = 1 + 0.05 * Math.sin(x * 9) * Math.sin(y * 9);
            const k = lay(x, y) * weave;
            out[0] = rgb[0] * k;
            out[1] = rgb[1] * k;
            out[2] = rgb[2] * k;
            out[3] = 1;
          },
        },
      },
    ],
    shadow: { rings, heightMm: 1.2 },
    wraps: true,
    regions: window ? [{ name: "window", outline: reversed(rings[1]!), holes: [] }] : [],
  };
}

/** A patch of lamp mirrored by a glossy face: brightens what is below. Placed by its middle. */
export interface Glare extends Placed {
  readonly kind: "glare";
  readonly lengthMm: number;
  readonly widthMm: number;
  /** 1 = burnt out in the middle. */
  readonly strength?: number;
}

export function glare(thing: Glare): Artwork {
  const [a, b] = [thing.lengthMm / 2, thing.widthMm / 2];
  const strength = thing.strength ?? 1;
  return {
    marks: [
      {
        rings: [ringOf((angle) => (a * b * 1.6) / Math.hypot(b * Math.cos(angle), a * Math.sin(angle)))],
        fill: {
          kind: "paint",
          shade: (x, y, out) => {
            const rho = Math.hypot(x / a, y / b);
            out[0] = 1.25;
            out[1] = 1.24;
            out[2] = 1.22;
            out[3] = Math.min(1, strength * (1 - smoothstep(0.35, 1.5, rho)));
          },
        },
      },
    ],
    wraps: false,
  };
}

/** A finger that holds or covers something; its tip points along its +x. Placed by the middle of the tip. */
export interface Finger extends Placed {
  readonly kind: "finger";
  readonly tone?: SkinTone;
  readonly gloved?: boolean;
  readonly lengthMm?: number;
}

export function finger(thing: Finger): Artwork {
  const length = thing.lengthMm ?? 90;
  const radius = 8;
  const skin = skinRgb(thing.tone ?? 3);
  const rgb: Rgb = thing.gloved ? rgb8(118, 148, 196) : skin;
  const outline = capsule(-length, 0, radius * 1.2, 0, 0, radius);
  const marks: Mark[] = [
    {
      rings: [outline],
      fill: {
        kind: "paint",
        shade: (x, y, out) => {
          const half =
            radius * (x > 0 ? Math.sqrt(Math.max(0.01, 1 - (x / radius) ** 2)) : 1 + (0.2 * -x) / length);
          const across = Math.min(1, Math.abs(y) / half);
          const round = 0.42 + 0.58 * Math.sqrt(1 - across * across);
          const crinkle = Math.exp(-(((x + 26) / 3) ** 2)) + Math.exp(-(((x + 52) / 3) ** 2));
          const wrinkle = 1 - 0.16 * crinkle * (0.5 + 0.5 * Math.sin(x * 3 + smoothNoise(y / 3, 0, 3)));
          const fold = thing.gloved ? 1 + 0.16 * fractalNoise(x / 16, y / 5, 8, 3) : wrinkle;
          const k = round * fold * (1 + 0.05 * smoothNoise(x * 1.6, y * 1.6, 4));
          for (let i = 0; i < 3; i++) out[i] = rgb[i]! * k;
          out[3] = 1;
        },
      },
    },
  ];
  if (!thing.gloved) {
    marks.push({
      rings: [
        ringOf((a) => 4.9 / (Math.abs(Math.cos(a)) ** 3.2 + Math.abs(Math.sin(a)) ** 3.2) ** (1 / 3.2)),
      ],
      fill: {
        kind: "paint",
        shade: (_x, y, out) => {
          const shine = 0.2 * Math.exp(-(((y - 1.5) / 1.6) ** 2));
          for (let i = 0; i < 3; i++)
            out[i] = skin[i]! * (i === 0 ? 1.15 : 1.02) * (1 - 0.02 * y * y) + shine;
          out[3] = 0.9;
        },
      },
    });
  }
  return { marks, shadow: { rings: [outline], heightMm: 4 }, wraps: false };
}

/** A drop or smear of blood. Placed by its middle. */
export interface Blood extends Placed {
  readonly kind: "blood";
  readonly lengthMm: number;
  readonly widthMm: number;
  readonly seed?: number;
}

export function blood(thing: Blood): Artwork {
  const shape = blobOf(thing.lengthMm, thing.widthMm, 0.5, thing.seed ?? 1);
  return {
    marks: [
      {
        rings: [shape.outline],
        fill: {
          kind: "paint",
          shade: (x, y, out) => {
            const inside = shape.radiusAt(Math.atan2(y, x)) - Math.hypot(x, y);
            const thick = smoothstep(0, 1.2, inside);
            const shine = 0.5 * Math.exp(-((Math.hypot(x + 0.4, y + 0.5) / 0.35) ** 2));
            out[0] = 0.2 - 0.12 * thick + shine;
            out[1] = 0.012 + shine;
            out[2] = 0.014 + shine;
            out[3] = 0.75 + 0.2 * thick;
          },
        },
      },
    ],
    wraps: true,
  };
}

/** A plain round spot, for tests that need a known disc. Placed by its middle. */
export interface Disc extends Placed {
  readonly kind: "disc";
  readonly diameterMm: number;
  readonly rgb: Rgb;
}

export function disc(thing: Disc): Artwork {
  const outline = circle(0, 0, thing.diameterMm / 2, 180);
  return {
    marks: [{ rings: [outline], fill: { kind: "ink", rgb: thing.rgb, alpha: 1 } }],
    wraps: true,
    regions: [{ name: "disc", outline, holes: [] }],
  };
}
