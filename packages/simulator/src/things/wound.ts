import type { Mark, Rgb, Shader } from "../artwork/mark.ts";
import { rgb8 } from "../colour/colour.ts";
import { gridded, griddedFactors } from "../noise/gridded.ts";
import { fractalNoise, smoothNoise, smoothstep, unit2 } from "../noise/hash.ts";
import { BLOOD, MELANIN } from "../skin/tone.ts";
import { blobOf, ringOf, tabled } from "./outline.ts";
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
  readonly firstOutline: Float64Array;
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
  const radiusAt = tabled((angle) => {
    const r0 = first.radiusAt(angle);
    const uneven = 1 + 0.22 * smoothNoise(Math.cos(angle) * 1.7 + 9, Math.sin(angle) * 1.7, wound.seed + 3);
    // Narrow parts close first: the edge moves in by about the same width all round.
    return Math.max(LEAST_RADIUS_MM, r0 * (1 - 0.45 * healed) - 0.55 * drawIn * uneven);
  });
  return { outline: ringOf(radiusAt), firstOutline: first.outline, radiusAt, firstRadiusAt: first.radiusAt };
}

const GRANULATION: Rgb = rgb8(160, 50, 48);
const DEEP: Rgb = rgb8(92, 20, 26);
const PINK: Rgb = rgb8(196, 104, 94);
const SLOUGH: Rgb = rgb8(206, 180, 126);
const DRY_SLOUGH: Rgb = rgb8(168, 132, 84);
const NEW_SKIN: Rgb = rgb8(216, 150, 142);

/** What the artwork of a wound needs to know of the scene. */
export interface WoundSetting {
  /** Slope at which a wet surface mirrors the lamp to the lens, in the wound's own axes. */
  readonly glint: readonly [x: number, y: number];
  /** Colour of the skin round it. */
  readonly skin: Rgb;
  readonly pxPerMm: number;
}

/** Artwork of the last wounds: the same one before a moved camera is drawn without laying its grids again. */
const kept = new Map<string, Artwork>();
const MOST_KEPT = 2; // some 10 MB each

export function wound(thing: Wound, setting: WoundSetting): Artwork {
  const { placement: _, ...own } = thing;
  const { glint, skin, pxPerMm } = setting;
  const key = JSON.stringify([own, glint, skin, finestMm(pxPerMm)]);
  const known = kept.get(key);
  if (known) return known;
  const made = woundArt(thing, setting);
  const [oldest] = kept.keys();
  if (kept.size >= MOST_KEPT && oldest !== undefined) kept.delete(oldest);
  kept.set(key, made);
  return made;
}

/** As fine as the picture can show. */
const finestMm = (pxPerMm: number): number => Math.min(0.12, 1.2 / pxPerMm);

function woundArt(thing: Wound, setting: WoundSetting): Artwork {
  const shape = woundShape(thing);
  const reach = (thing.erythemaMm ?? 9) + 6;
  // All that is drawn lies in this square; noise is laid on grids over it, as fine as the picture can show.
  const sideMm = 2 * (Math.max(...shape.firstOutline.map(Math.abs)) + reach);
  const field: Field = (value, finest) => {
    const cell = Math.max(finest, finestMm(setting.pxPerMm));
    return gridded(value, sideMm, sideMm, Math.max(cell, sideMm / MOST_CELLS));
  };
  const marks: Mark[] = [
    {
      rings: [ringOf((angle) => shape.firstRadiusAt(angle) + reach)],
      fill: { kind: "stain", shade: griddedFactors(surround(thing, shape), sideMm, sideMm, SLOW_MM) },
    },
    {
      rings: [ringOf((angle) => shape.firstRadiusAt(angle) + 3)],
      fill: { kind: "paint", shade: newSkin(thing, shape, field, setting.skin) },
    },
    { rings: [shape.outline], fill: { kind: "paint", shade: bed(thing, shape, field, setting.glint) } },
  ];
  return {
    marks,
    wraps: true,
    regions: [{ name: "wound", outline: shape.outline, holes: [] }],
    facts: { healed: thing.healed ?? 0, slough: thing.slough ?? 0 },
  };
}

/** A noise over the whole wound, sampled on a grid no finer than `finestMm`. */
type Field = (value: (x: number, y: number) => number, finestMm: number) => (x: number, y: number) => number;

const MOST_CELLS = 700; // along a side
/** Redness has no finer detail than this. */
const SLOW_MM = 0.3;

/** Redness that fades outwards, and the stain that old inflammation leaves. */
function surround(thing: Wound, shape: WoundShape): Shader {
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
function newSkin(thing: Wound, shape: WoundShape, field: Field, skin: Rgb): Shader {
  const ragged = field((x, y) => fractalNoise(x / 3.4, y / 3.4, thing.seed + 21, 4, 0.6), 0.08);
  const slow = field((x, y) => fractalNoise(x / 8, y / 8, thing.seed + 22, 2), 0.4);
  const fine = field((x, y) => smoothNoise(x * 2.2, y * 2.2, thing.seed + 23), 0.08);
  const soft = thing.maceration ?? 0.3;
  const young: Rgb = [0, 1, 2].map(
    (i) => 0.6 * NEW_SKIN[i]! + 0.4 * Math.min(1, skin[i]! * 1.25),
  ) as unknown as Rgb;
  const white: Rgb = [0, 1, 2].map((i) => 0.55 * skin[i]! + 0.36) as unknown as Rgb;
  return (x, y, out) => {
    const angle = Math.atan2(y, x);
    const fromEdge = Math.hypot(x, y) - shape.radiusAt(angle);
    if (fromEdge < -0.5) {
      out[3] = 0; // under the bed
      return;
    }
    const grown = Math.max(0, shape.firstRadiusAt(angle) - shape.radiusAt(angle));
    const uneven = ragged(x, y);
    const patchy = slow(x, y);
    // The newest skin is the pinkest; towards the old border it comes to look like the rest.
    const age = grown > 0 ? (fromEdge + 1.6 * uneven) / (grown + 0.6) : 2;
    const fresh = 0.86 * (1 - smoothstep(0.15, 1.05, age)) * Math.min(1, grown / 1.5);
    const rim = (0.42 + 0.3 * patchy) * (1 - smoothstep(0.1, 1.3 + 0.5 * patchy, fromEdge + 0.5 * uneven));
    const sodden =
      soft * (1 - smoothstep(0.3, 2.6 + 1.6 * patchy, fromEdge + 0.9 * uneven)) * (0.75 + 0.5 * patchy);
    const pink = 1 - (1 - fresh) * (1 - Math.max(0, rim));
    const pale = Math.min(0.9, Math.max(0, sodden));
    const alpha = 1 - (1 - pink) * (1 - pale);
    const share = alpha === 0 ? 0 : pale / alpha;
    const grain = 1 + 0.05 * uneven + 0.05 * fine(x, y);
    for (let i = 0; i < 3; i++) out[i] = (young[i]! * (1 - share) + white[i]! * share) * grain;
    out[3] = alpha;
  };
}

/** Granulating tissue like wet cobbles, darker where deep, slough in patches, a wet film that glints here and there. */
function bed(
  thing: Wound,
  shape: WoundShape,
  field: Field,
  [glintX, glintY]: readonly [number, number],
): Shader {
  const { seed } = thing;
  const wet = thing.wet ?? 0.7;
  const slough = thing.slough ?? 0.3;
  const step = 0.1;
  const height = field(
    (x, y) => 0.55 * cobbles(x / 1.35, y / 1.35, seed + 31) + 0.5 * smoothNoise(x / 0.9, y / 0.9, seed + 32),
    0.03,
  );
  const film = field(
    (x, y) => smoothNoise(x / 2.7, y / 2.7, seed + 36) + 0.4 * smoothNoise(x / 1.1, y / 1.1, seed + 37),
    0.03,
  );
  const patches = field((x, y) => fractalNoise(x / 8, y / 8, seed + 33, 4, 0.6), 0.2);
  const veils = field((x, y) => fractalNoise(x / 5, y / 5, seed + 34, 3), 0.2);
  const pools = field((x, y) => smoothNoise(x / 4.6, y / 4.6, seed + 38), 0.4);
  return (x, y, out) => {
    const inside = shape.radiusAt(Math.atan2(y, x)) - Math.hypot(x, y);
    const h = height(x, y);
    const gx = (height(x + step, y) - h) / step;
    const gy = (height(x, y + step) - h) / step;
    const patch = patches(x, y);
    const fibre = smoothNoise(x / 0.7 + 2 * patch, y / 2.1 + 2 * patch, seed + 35);
    const yellow =
      slough <= 0
        ? 0
        : smoothstep(0.32 - 0.75 * slough, 0.66 - 0.75 * slough, patch + 0.1 * fibre + 0.12 * h);
    const hollow = 1 - smoothstep(-0.5, 0.35, h);
    const deep = Math.min(
      1,
      0.18 + 0.4 * hollow + 0.45 * smoothstep(-0.1, 0.5, -patch) * smoothstep(0, 3, inside),
    );
    const dry = smoothstep(-0.15, 0.45, veils(y, x) + 0.25 * fibre);
    const veil = 0.55 * smoothstep(0.05, 0.5, veils(x, y)) * (1 - 0.6 * hollow);
    // The wound lies lower than the skin: its wall is in half shade, most of all towards the lamp.
    const wall = 0.58 + 0.42 * smoothstep(-0.1, 1.5, inside);
    const k = (1 - 0.55 * (gx * glintX + gy * glintY) * 0.5) * (0.93 + 0.12 * h) * wall;
    for (let i = 0; i < 3; i++) {
      const flesh = (GRANULATION[i]! * (1 - deep) + DEEP[i]! * deep) * (1 - veil) + PINK[i]! * veil;
      const fat = (SLOUGH[i]! + (DRY_SLOUGH[i]! - SLOUGH[i]!) * dry) * (0.84 + 0.14 * fibre + 0.1 * h);
      out[i] = k * (flesh * (1 - 0.88 * yellow) + fat * 0.88 * yellow);
    }
    const f = film(x, y);
    const nx = (film(x + step, y) - f) / step + 0.16 * gx + 2.4 * glintX;
    const ny = (film(x, y + step) - f) / step + 0.16 * gy + 2.4 * glintY;
    const pool = smoothstep(0.05, 0.55, pools(x, y));
    const glint = wet * pool * Math.exp(-(nx * nx + ny * ny) * 70) * smoothstep(0.4, 1.2, inside);
    out[0] = out[0]! + 0.9 * glint;
    out[1] = out[1]! + 0.88 * glint;
    out[2] = out[2]! + 0.87 * glint;
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
