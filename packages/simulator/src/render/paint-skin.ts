import { seededRandom } from "@samescale/geometry";
import type { Rgb } from "../artwork/mark.ts";
import type { View } from "../camera/view.ts";
import type { Illumination } from "../light/light.ts";

import { KNOT_PX } from "../raster/paint.ts";
import type { Strip } from "../raster/strip.ts";
import { type Extent, type Mottling, mottlingOf } from "../skin/mottling.ts";
import { litRelief, TILE, TILE_PER_MM } from "../skin/relief.ts";
import type { Skin } from "../skin/skin.ts";
import { skinRgb } from "../skin/tone.ts";
import type { Pose } from "../surface/pose.ts";

/** One relief tile laid over the surface at its own turn, offset and size. */
interface Overlay {
  readonly texels: Float32Array;
  readonly size: number;
  readonly strength: number;
  /** Texel coordinates: u = a s + b t + u0, v = -b s + a t + v0. */
  readonly a: number;
  readonly b: number;
  readonly u0: number;
  readonly v0: number;
}

/** Skin ready to be painted into bands, for one picture. */
export interface SkinPaint {
  readonly base: Rgb;
  readonly mottling: Mottling;
  readonly overlays: readonly Overlay[];
  readonly pose: Pose;
}

const LIT_SEEDS = [71, 72] as const; // the two tiles that every skin is woven from

export function prepareSkin(
  skin: Skin,
  view: View,
  pose: Pose,
  illumination: Illumination,
  extent: Extent,
): SkinPaint {
  const pxPerMm = view.lens.focalPx / view.lens.objectMm;
  const run = seededRandom(skin.seed + 5);
  const overlays: Overlay[] = [];
  // Size 1 twice at different turns; a finer copy where the picture can show it; a coarser one for large fields.
  for (const [index, magnify, strength] of [
    [0, 1, 0.75],
    [1, 1.31, 0.75],
    [0, 4.3, 0.4],
    [1, 0.31, 0.5],
  ] as const) {
    const turn = (run() - 0.5) * 0.9;
    const [u, v] = [run(), run()];
    const perMm = TILE_PER_MM * magnify;
    if (magnify > 2 && pxPerMm < 45) continue;
    if (magnify < 1 && pxPerMm > 30) continue;
    const level = Math.max(0, Math.min(7, Math.round(Math.log2(perMm / pxPerMm))));
    const cos = Math.cos(turn);
    const sin = Math.sin(turn);
    // Light direction in the tile's axes.
    const lx = illumination.slopeX * cos + illumination.slopeY * sin;
    const ly = -illumination.slopeX * sin + illumination.slopeY * cos;
    const lit = cachedRelief(LIT_SEEDS[index], lx, ly, level);
    const size = TILE >> level;
    const scale = perMm / 2 ** level;
    overlays.push({
      texels: lit,
      size,
      strength,
      a: cos * scale,
      b: sin * scale,
      u0: u * size - 0.5,
      v0: v * size - 0.5,
    });
  }
  return { base: skinRgb(skin.tone), mottling: mottlingOf(skin, extent, pxPerMm), overlays, pose };
}

/** Lit tiles are kept for the next picture under the same light; 4 MB each at full size. */
const MOST_KEPT = 6;
const reliefCache = new Map<string, Float32Array>();

function cachedRelief(seed: number, lx: number, ly: number, level: number): Float32Array {
  const key = `${seed} ${lx.toFixed(2)} ${ly.toFixed(2)} ${level}`;
  const known = reliefCache.get(key);
  if (known) return known;
  if (reliefCache.size >= MOST_KEPT) reliefCache.clear();
  const made = litRelief(seed, lx, ly, level);
  reliefCache.set(key, made);
  return made;
}

/** Paints skin reflectance over the whole strip (alpha 1 where the ray meets the surface). */
export function paintSkin(strip: Strip, paint: SkinPaint): void {
  const at = new Float64Array(2);
  const factorEnd = new Float64Array(3);
  const { r, g, b, a } = strip;
  const knots = Math.ceil(strip.width / KNOT_PX);
  const modulation = new Float32Array(KNOT_PX);
  const pose = paint.pose;
  for (let row = 0; row < strip.height; row++) {
    const y = strip.y0 + row + 0.5;
    const base = row * strip.width;
    let hit0 = pose.unproject(strip.x0 + 0.5, y, at);
    let s0 = at[0]!;
    let t0 = at[1]!;
    mottlingAt(paint.mottling, s0, t0, factorEnd);
    let [fr0, fg0, fb0] = [factorEnd[0]!, factorEnd[1]!, factorEnd[2]!];
    for (let knot = 0; knot < knots; knot++) {
      const x = knot * KNOT_PX;
      const n = Math.min(KNOT_PX, strip.width - x);
      const hit1 = pose.unproject(strip.x0 + x + KNOT_PX + 0.5, y, at);
      const s1 = at[0]!;
      const t1 = at[1]!;
      if (!hit0 && !hit1) {
        hit0 = hit1;
        s0 = s1;
        t0 = t1;
        for (let i = 0; i < n; i++) a[base + x + i] = 0;
        continue;
      }
      mottlingAt(paint.mottling, s1, t1, factorEnd);
      const [fr1, fg1, fb1] = [factorEnd[0]!, factorEnd[1]!, factorEnd[2]!];
      const ds = hit0 && hit1 ? (s1 - s0) / KNOT_PX : 0;
      const dt = hit0 && hit1 ? (t1 - t0) / KNOT_PX : 0;
      const sFrom = hit0 ? s0 : s1;
      const tFrom = hit0 ? t0 : t1;
      modulation.fill(1);
      for (const overlay of paint.overlays) addOverlay(modulation, overlay, sFrom, tFrom, ds, dt, n);
      const [br, bg, bb] = paint.base;
      const dr = (fr1 - fr0) / KNOT_PX;
      const dg = (fg1 - fg0) / KNOT_PX;
      const db = (fb1 - fb0) / KNOT_PX;
      for (let i = 0; i < n; i++) {
        const p = base + x + i;
        const m = modulation[i]!;
        r[p] = br * (fr0 + dr * i) * m;
        g[p] = bg * (fg0 + dg * i) * m;
        b[p] = bb * (fb0 + db * i) * m;
        a[p] = 1;
      }
      hit0 = hit1;
      s0 = s1;
      t0 = t1;
      fr0 = fr1;
      fg0 = fg1;
      fb0 = fb1;
    }
  }
}

/** 16 bits of fraction: whole-number steps are exact enough over one knot and wrap round the tile by themselves. */
const FIXED = 65536;

function addOverlay(
  into: Float32Array,
  o: Overlay,
  s: number,
  t: number,
  ds: number,
  dt: number,
  n: number,
): void {
  const { texels, size, strength } = o;
  const mask = size - 1;
  const shift = 31 - Math.clz32(size);
  const part = 1 / FIXED;
  let u = fixed(o.a * s + o.b * t + o.u0, size);
  let v = fixed(o.a * t - o.b * s + o.v0, size);
  const du = Math.round((o.a * ds + o.b * dt) * FIXED);
  const dv = Math.round((o.a * dt - o.b * ds) * FIXED);
  for (let i = 0; i < n; i++) {
    const iu = u >> 16;
    const iv = v >> 16;
    const fu = (u & 65535) * part;
    const fv = (v & 65535) * part;
    const c0 = iu & mask;
    const c1 = (iu + 1) & mask;
    const row0 = (iv & mask) << shift;
    const row1 = ((iv + 1) & mask) << shift;
    const a = texels[row0 + c0]!;
    const b = texels[row1 + c0]!;
    const top = a + (texels[row0 + c1]! - a) * fu;
    into[i] = into[i]! + strength * (top + (b + (texels[row1 + c1]! - b) * fu - top) * fv);
    u = (u + du) | 0;
    v = (v + dv) | 0;
  }
}

const fixed = (texel: number, size: number): number =>
  Math.floor((texel - Math.floor(texel / size) * size) * FIXED);

function mottlingAt(m: Mottling, s: number, t: number, out: Float64Array): void {
  const x = Math.min(m.columns - 1.001, Math.max(0, (s - m.left) / m.cellMm));
  const y = Math.min(m.rows - 1.001, Math.max(0, (t - m.top) / m.cellMm));
  const i = x | 0;
  const j = y | 0;
  const fx = x - i;
  const fy = y - j;
  const k = (j * m.columns + i) * 3;
  const f = m.factors;
  const down = m.columns * 3;
  for (let c = 0; c < 3; c++) {
    const top = f[k + c]! + (f[k + 3 + c]! - f[k + c]!) * fx;
    const low = f[k + down + c]! + (f[k + down + 3 + c]! - f[k + down + c]!) * fx;
    out[c] = top + (low - top) * fy;
  }
}
