import type { XY } from "../../answers.ts";
import { codedContrast } from "./coding.ts";
import { orientedBlocks } from "./oriented-blocks.ts";
import type { Level } from "./pyramid.ts";
import { createTileSpectrum, HALF, TILE } from "./tile-spectrum.ts";

/** A place where something repeats along a line: where, in which direction, how often. In pixels of its level. */
export interface Candidate {
  readonly x: number;
  readonly y: number;
  /** Unit vector across the bars, along the edge. */
  readonly ux: number;
  readonly uy: number;
  readonly pitchPx: number;
  readonly rank: number;
}

export interface SearchRange {
  readonly leastPitchPx: number;
  readonly mostPitchPx: number;
  /** Only tiles whose centre is nearer than `radiusPx` to `centre`, both in pixels of the level. */
  readonly near?: { readonly centre: XY; readonly radiusPx: number };
}

const STEP = 32;
/** A tile may hold a body edge and two rows of ticks. */
const MOST_PEAKS = 3;
/** Bins round a peak and its second harmonic that belong to it. */
const PEAK_WIDTH = 2.5;
/** Bins: a Hann window spreads a line over about this. */
const LINE_WIDTH = 1.3;
/** Share of what lies in their direction that the harmonics must hold; random texture leaves them a quarter. */
const LEAST_COMB_SHARE = 0.35;
const LEAST_PEAK_SHARE = 0.012;
const MOST_PER_LEVEL = 14;
/** Tiles whose neighbours are looked for: more are texture, and pairs grow with the square. */
const MOST_COMPARED = 1500;

/** Tiles of a level in which one direction is periodic, best first, one for each line. */
export function searchTiles(level: Level, range: SearchRange): Candidate[] {
  const { widthPx: width, heightPx: height } = level;
  if (width < TILE || height < TILE) return [];
  const coded = codedContrast(level);
  const blocks = orientedBlocks(coded, width, height);
  const spectrum = createTileSpectrum();
  const found: Found[] = [];
  for (const y0 of starts(height)) {
    for (const x0 of starts(width)) {
      if (range.near) {
        const [cx, cy] = range.near.centre;
        if (Math.hypot(x0 + TILE / 2 - cx, y0 + TILE / 2 - cy) > range.near.radiusPx + TILE / 2) continue;
      }
      if (!blocks.promising(x0, y0, TILE)) continue;
      spectrum.transform(coded, width, x0, y0);
      for (const peak of peaksOf(spectrum.power, range)) {
        found.push({ ...peak, x: x0 + TILE / 2, y: y0 + TILE / 2 });
      }
    }
  }
  return ranked(found);
}

function starts(side: number): number[] {
  const all: number[] = [];
  for (let at = 0; at + TILE < side; at += STEP) all.push(at);
  all.push(side - TILE);
  return all;
}

interface Peak {
  readonly ux: number;
  readonly uy: number;
  readonly pitchPx: number;
  readonly comb: number;
  readonly share: number;
}

type Found = Peak & { readonly x: number; readonly y: number };

function peaksOf(power: Float64Array, range: SearchRange): Peak[] {
  let total = 0;
  for (let i = 0; i < power.length; i++) total += power[i]!;
  for (let kx = 0; kx < 2; kx++) for (const ky of [0, 1, 63]) total -= power[kx * TILE + ky]!;
  const peaks: Line[] = [];
  const kept: Peak[] = [];
  while (peaks.length < MOST_PEAKS) {
    const peak = strongest(power, range, peaks);
    if (!peak) break;
    peaks.push(peak);
    const share = peak.energy / total;
    if (share < LEAST_PEAK_SHARE) break; // the next ones are weaker still
    const comb = combShare(power, peak.fx, peak.fy);
    if (comb < LEAST_COMB_SHARE) continue;
    const f = Math.hypot(peak.fx, peak.fy);
    kept.push({ ux: peak.fx / f, uy: peak.fy / f, pitchPx: TILE / f, comb, share });
  }
  return kept;
}

interface Line {
  readonly fx: number;
  readonly fy: number;
  readonly energy: number;
}

/** The strongest frequency in the ring of wanted pitches, refined to a part of a bin; not one of those known. */
function strongest(power: Float64Array, range: SearchRange, known: readonly Line[]): Line | null {
  const inner = TILE / range.mostPitchPx;
  const outer = Math.min(TILE / range.leastPitchPx, 31);
  let best = 0;
  let bx = 0;
  let by = 0;
  const reach = Math.ceil(outer);
  for (let kx = 0; kx <= reach; kx++) {
    for (let ky = kx === 0 ? 0 : -reach; ky <= reach; ky++) {
      const e = power[kx * TILE + (ky & 63)]!;
      if (e <= best) continue;
      const f2 = kx * kx + ky * ky;
      if (f2 < inner * inner || f2 > outer * outer) continue;
      if (known.some((line) => belongsTo(line, kx, ky))) continue;
      best = e;
      bx = kx;
      by = ky;
    }
  }
  if (best === 0) return null;
  let energy = 0;
  let mx = 0;
  let my = 0;
  for (let dx = -1; dx <= 1; dx++) {
    for (let dy = -1; dy <= 1; dy++) {
      const e = at(power, bx + dx, by + dy);
      energy += e;
      mx += e * dx;
      my += e * dy;
    }
  }
  return { fx: bx + mx / energy, fy: by + my / energy, energy };
}

/** Near the line or its second harmonic, on either side of the origin. */
function belongsTo({ fx, fy }: Line, kx: number, ky: number): boolean {
  for (const m of [1, 2, -1, -2]) {
    if (Math.hypot(kx - m * fx, ky - m * fy) < PEAK_WIDTH) return true;
  }
  return false;
}

/** Share of the energy in the peak's direction that its first three harmonics hold. */
function combShare(power: Float64Array, fx: number, fy: number): number {
  const f = Math.hypot(fx, fy);
  const ux = fx / f;
  const uy = fy / f;
  let slice = 0;
  let comb = 0;
  for (let kx = 0; kx < HALF; kx++) {
    for (let ky = -31; ky <= 31; ky++) {
      const across = ky * ux - kx * uy;
      if (across > LINE_WIDTH || across < -LINE_WIDTH) continue;
      const r = kx * ux + ky * uy;
      const length = r < 0 ? -r : r;
      if (length < 2.5 || length > 31) continue; // slower than 25 px is shading
      const e = power[kx * TILE + (ky & 63)]!;
      slice += e;
      const m = Math.round(length / f);
      if (m >= 1 && m <= 3 && Math.abs(length - m * f) <= LINE_WIDTH) comb += e;
    }
  }
  return slice > 0 ? comb / slice : 0;
}

function at(power: Float64Array, kx: number, ky: number): number {
  return kx < 0 ? power[-kx * TILE + (-ky & 63)]! : power[kx * TILE + (ky & 63)]!;
}

/** Neighbours on the same line with the same pitch speak for a tile; one tile speaks for its line. */
function ranked(all: readonly Found[]): Candidate[] {
  const found =
    all.length <= MOST_COMPARED
      ? all
      : [...all].sort((a, b) => b.comb * b.share - a.comb * a.share).slice(0, MOST_COMPARED);
  const support = found.map((a) => found.reduce((sum, b) => sum + (onOneLine(a, b) ? b.comb : 0), 0));
  const order = found
    .map((tile, i) => ({ tile, rank: tile.comb * support[i]! * Math.sqrt(tile.share) }))
    .sort((a, b) => b.rank - a.rank);
  const chosen: { tile: Found; rank: number }[] = [];
  for (const one of order) {
    if (chosen.length >= MOST_PER_LEVEL) break;
    if (chosen.every((c) => !onOneLine(c.tile, one.tile))) chosen.push(one);
  }
  return chosen.map(({ tile, rank }) => ({
    x: tile.x,
    y: tile.y,
    ux: tile.ux,
    uy: tile.uy,
    pitchPx: tile.pitchPx,
    rank,
  }));
}

/** Same direction (5 degrees), same pitch (7 %), and on one line within a tile's step. */
function onOneLine(a: Found, b: Found): boolean {
  if (Math.abs(a.ux * b.ux + a.uy * b.uy) < 0.9962) return false;
  if (Math.abs(Math.log(a.pitchPx / b.pitchPx)) > 0.07) return false;
  const across = Math.abs((b.x - a.x) * -a.uy + (b.y - a.y) * a.ux);
  const along = Math.abs((b.x - a.x) * a.ux + (b.y - a.y) * a.uy);
  return across <= STEP + 0.05 * along;
}
