import type { Mark, Rgb } from "../artwork/mark.ts";
import { rgb8 } from "../colour/colour.ts";
import { fractalNoise, smoothstep, unit2, valueNoise } from "../noise/hash.ts";
import { BLOOD, MELANIN } from "../skin/tone.ts";
import { blobOf, ringOf } from "./outline.ts";
import type { Artwork, Placed } from "./thing.ts";

/** An open wound. Its outline is the border between bed and skin; shares run from 0 to 1. */
export interface Wound extends Placed {
  readonly kind: "wound";
  /** Which wound: same seed, same shape at every visit. */
  readonly seed: number;
  /** Along its own x and y when fresh. */
  readonly lengthMm: number;
  readonly widthMm: number;
  readonly irregularity?: number;
  /** How far it has healed: 0 = as at first, 1 = closed. Its edge draws in unevenly, new skin follows. */
  readonly healed?: number;
  /** Yellow slough on the bed. */
  readonly slough?: number;
  /** White, softened skin round it. */
  readonly maceration?: number;
  /** Width of the reddened surround. */
  readonly erythemaMm?: number;
  readonly wet?: number;
}

export interface WoundShape {
  readonly outline: Float64Array;
  radiusAt(angle: number): number;
  /** Where the edge lay at first. */
  firstRadiusAt(angle: number): number;
}

const LEAST_RADIUS_MM = 0.4;

/** Outline at a stage of healing, in the wound's own millimetres. */
export function woundShape(wound: Wound): WoundShape {
  const first = blobOf(wound.lengthMm, wound.widthMm, wound.irregularity ?? 0.5, wound.seed);
  const healed = wound.healed ?? 0;
  const drawIn = (healed * Math.min(wound.lengthMm, wound.widthMm)) / 2;
  const radiusAt = (angle: number): number => {
    const r0 = first.radiusAt(angle);
    const uneven = 1 + 0.22 * valueNoise(Math.cos(angle) * 1.7 + 9, Math.sin(angle) * 1.7, wound.seed + 3);
    // Narrow parts close first: the edge moves in by about the same width all round.
    return Math.max(LEAST_RADIUS_MM, r0 * (1 - 0.45 * healed) - 0.55 * drawIn * uneven);
  };
  return { outline: ringOf(radiusAt), radiusAt, firstRadiusAt: first.radiusAt };
}

const GRANULATION: Rgb = rgb8(158, 38, 40);
const DEEP: Rgb = rgb8(104, 18, 24);
const SLOUGH: Rgb = rgb8(206, 184, 118);
const NEW_SKIN: Rgb = rgb8(222, 158, 152);

/** @param glintX, glintY slope at which a wet surface mirrors the lamp to the lens, in the wound's own axes */
export function wound(thing: Wound, glintX: number, glintY: number): Artwork {
  const shape = woundShape(thing);
  const reach = (thing.erythemaMm ?? 9) + 6;
  const marks: Mark[] = [
    {
      rings: [ringOf((angle) => shape.firstRadiusAt(angle) + reach)],
      fill: { kind: "stain", shade: surround(thing, shape) },
    },
    {
      rings: [ringOf((angle) => shape.firstRadiusAt(angle) + 3)],
      fill: { kind: "paint", shade: newSkin(thing, shape) },
    },
    { rings: [shape.outline], fill: { kind: "paint", shade: bed(thing, shape, glintX, glintY) } },
  ];
  return {
    marks,
    wraps: true,
    regions: [{ name: "wound", outline: shape.outline, holes: [] }],
    facts: { healed: thing.healed ?? 0, slough: thing.slough ?? 0 },
  };
}

/** Redness that fades outwards, and the stain that old inflammation leaves. */
function surround(thing: Wound, shape: WoundShape): (x: number, y: number, out: Float64Array) => void {
  const reach = thing.erythemaMm ?? 9;
  const red = 0.62 * (1 - 0.55 * (thing.healed ?? 0));
  return (x, y, out) => {
    const angle = Math.atan2(y, x);
    const outside = Math.hypot(x, y) - shape.firstRadiusAt(angle);
    const uneven = 1 + 0.5 * fractalNoise(x / 9, y / 9, thing.seed + 11, 3);
    const fade = 1 - smoothstep(-2, reach * uneven, outside);
    const blood = red * fade * fade;
    const pigment = 0.22 * (1 - smoothstep(0, reach * 0.8 * uneven, outside));
    for (let i = 0; i < 3; i++) out[i] = Math.exp(-BLOOD[i]! * blood - MELANIN[i]! * pigment);
  };
}

/** The pale rim: skin that has grown back since the first visit, and skin softened by wetness. */
function newSkin(thing: Wound, shape: WoundShape): (x: number, y: number, out: Float64Array) => void {
  const soft = thing.maceration ?? 0.3;
  return (x, y, out) => {
    const angle = Math.atan2(y, x);
    const r = Math.hypot(x, y);
    const fromEdge = r - shape.radiusAt(angle);
    const grown = Math.max(0, shape.firstRadiusAt(angle) - shape.radiusAt(angle));
    const uneven = fractalNoise(x / 3.2, y / 3.2, thing.seed + 21, 3);
    const fresh =
      grown > 0
        ? (1 - smoothstep(grown * 0.75, grown + 0.8, fromEdge + uneven * 0.8)) * Math.min(1, grown / 1.5)
        : 0;
    const rim = 0.55 * (1 - smoothstep(0.2, 1.5, fromEdge + uneven * 0.5));
    const white = soft * (1 - smoothstep(0.4, 3 * (0.7 + 0.5 * uneven + 0.4), fromEdge));
    const shine = 1 + 0.08 * uneven;
    const alpha = 1 - (1 - 0.82 * fresh) * (1 - rim) * (1 - 0.7 * white);
    const pale = alpha === 0 ? 0 : Math.min(1, (0.7 * white) / alpha);
    out[0] = (NEW_SKIN[0] + (0.78 - NEW_SKIN[0]) * pale) * shine;
    out[1] = (NEW_SKIN[1] + (0.66 - NEW_SKIN[1]) * pale) * shine;
    out[2] = (NEW_SKIN[2] + (0.56 - NEW_SKIN[2]) * pale) * shine;
    out[3] = alpha;
  };
}

/** Granulating tissue like wet cobbles, darker where deep, slough in patches, flecks where wet cobbles glint. */
function bed(
  thing: Wound,
  shape: WoundShape,
  glintX: number,
  glintY: number,
): (x: number, y: number, out: Float64Array) => void {
  const { seed } = thing;
  const wet = thing.wet ?? 0.7;
  const slough = thing.slough ?? 0.3;
  const step = 0.12;
  const height = (x: number, y: number): number =>
    cobbles(x / 1.5, y / 1.5, seed + 31) + 0.45 * cobbles(x / 0.62 + 5, y / 0.62, seed + 32);
  return (x, y, out) => {
    const angle = Math.atan2(y, x);
    const inside = shape.radiusAt(angle) - Math.hypot(x, y);
    const h = height(x, y);
    const gx = (height(x + step, y) - h) / step;
    const gy = (height(x, y + step) - h) / step;
    const patch = fractalNoise(x / 7, y / 7, seed + 33, 4, 0.6);
    const fibre = 0.25 * valueNoise(x / 0.5 + 3 * patch, y / 2.4, seed + 35);
    const yellow =
      slough <= 0 ? 0 : smoothstep(0.42 - 0.9 * slough, 0.62 - 0.9 * slough, patch + 0.5 * fibre);
    const deep =
      smoothstep(0.5, 7, inside) * 0.3 +
      0.32 * (1 - smoothstep(-0.4, 0.5, h)) +
      0.16 * smoothstep(0.1, 0.6, -patch);
    const shade = (1 - 0.1 * (gx * glintX + gy * glintY) * 4) * (0.92 + 0.14 * h);
    // The wall: the wound lies lower than the skin, its rim is in half shade.
    const wall = 0.66 + 0.34 * smoothstep(0, 1.3, inside);
    const k = shade * wall;
    for (let i = 0; i < 3; i++) {
      const red = GRANULATION[i]! * (1 - deep) + DEEP[i]! * deep;
      out[i] = k * (red * (1 - 0.9 * yellow) + SLOUGH[i]! * (1 + fibre) * 0.9 * yellow);
    }
    const dx = gx * 0.22 + glintX; // the normal leans against the slope
    const dy = gy * 0.22 + glintY;
    const film = 0.5 + 0.5 * valueNoise(x / 2.6, y / 2.6, seed + 36);
    const glint =
      wet * Math.exp(-(dx * dx + dy * dy) * 150) * smoothstep(0.35, 0.75, film) * smoothstep(0.3, 1, inside);
    out[0] = out[0]! + 0.85 * glint;
    out[1] = out[1]! + 0.83 * glint;
    out[2] = out[2]! + 0.82 * glint;
    out[3] = 1;
  };
}

/** Rounded bumps, about -0.6 to 0.6: distance to the nearest of jittered points. */
function cobbles(x: number, y: number, seed: number): number {
  const ix = Math.floor(x);
  const iy = Math.floor(y);
  let near = 4;
  for (let j = iy - 1; j <= iy + 1; j++) {
    for (let i = ix - 1; i <= ix + 1; i++) {
      const dx = i + 0.15 + 0.7 * unit2(i, j, seed) - x;
      const dy = j + 0.15 + 0.7 * unit2(j, i, seed + 7) - y;
      const d = dx * dx + dy * dy;
      if (d < near) near = d;
    }
  }
  return 0.6 - Math.min(1.2, near * 1.6);
}
