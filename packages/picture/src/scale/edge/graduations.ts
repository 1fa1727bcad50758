import { median } from "../numbers.ts";
import type { Level } from "../search/pyramid.ts";
import { fitBentLattice } from "./bent-lattice.ts";
import { fitLattice, type Lattice } from "./lattice.ts";
import { numberedBars, WINDOW_PITCHES } from "./numbered-bars.ts";
import { type Profile, profileOf, valueAt } from "./profile.ts";
import { joinedRuns, occupancy } from "./runs.ts";
import { levelForPitch } from "./sample.ts";
import type { Strip } from "./strip.ts";

/** One graduation: its number in the row, its place along the edge, and how far it stands out (grey levels). */
export interface Graduation {
  readonly k: number;
  readonly s: number;
  readonly contrast: number;
}

/** A row of graduations on one edge, fitted. */
export interface GraduationRow {
  readonly strip: Strip;
  readonly level: Level;
  /** -1: bars darker than their ground; 1: brighter. */
  readonly polarity: -1 | 1;
  readonly graduations: readonly Graduation[];
  readonly lattice: Lattice;
  /** Median contrast, grey levels. */
  readonly contrast: number;
  /** Width of a bar at half its height, in pitches; null where the pixels are too coarse to tell. */
  readonly barWidth: number | null;
}

/** A centimetre. Chance finds a dozen in any picture with texture, so that alone they say nothing. */
export const FEWEST = 10;
/** So many tell a bent edge from disorder. */
const FEWEST_BENT = 60;
/** Share that must lie on the lattice, and their scatter in pitches: rulers reach 0.006 to 0.05. */
const LEAST_INLIERS = 0.6;
const MOST_RMS_PITCH = 0.11;
/** Thin bars skew the profile by one and more; bars as wide as their gaps, or blurred, by anything below. */
const CLEAR_SKEW = 0.8;
/** Bars between bars: with less than this share of the others' contrast they are no graduations. */
const ALTERNATE = 0.35;
/** Glare and scratches hide a fifth of the bars; a lattice with more holes is not that of the bars. */
const LEAST_OCCUPANCY = 0.75;

/** Finds the graduations along a strip. Null when they do not follow a lattice. Both polarities may fit. */
export function graduationRows(levels: readonly Level[], strip: Strip): GraduationRow[] {
  const level = levelForPitch(levels, strip.pitchPx, 12);
  const reach = WINDOW_PITCHES * strip.pitchPx;
  const inner = 0.1 * (strip.band[1] - strip.band[0]);
  const band = [strip.band[0] + inner, strip.band[1] - inner] as const;
  const profile = profileOf(level, strip, strip.from - reach, strip.to + reach, band);
  const skew = skewness(profile.flat);
  const polarities: (-1 | 1)[] = Math.abs(skew) < CLEAR_SKEW ? [-1, 1] : skew < 0 ? [-1] : [1];
  const rows: GraduationRow[] = [];
  for (const polarity of polarities) {
    const row = rowOf(level, strip, profile, polarity);
    if (row) rows.push(row);
  }
  return rows;
}

function rowOf(level: Level, strip: Strip, profile: Profile, polarity: -1 | 1): GraduationRow | null {
  let all = numberedBars(profile, strip, polarity).map(({ k, s }) => {
    return measuredBar(profile, strip.pitchAt(s), polarity, k, s);
  });
  all = joinedRuns(all);
  if (all.length < FEWEST) return null;
  for (let round = 0; round < 3; round++) {
    const row = fitted(level, strip, profile, polarity, all);
    if (!row) return null;
    const part = strongPart(row.graduations);
    if (!part) return occupancy(row.graduations) >= LEAST_OCCUPANCY ? row : null;
    // A fraction of the pitch was locked on to: keep the bars that are there.
    const { step, residue } = part;
    all = row.graduations
      .filter((g) => remainder(g.k, step) === residue)
      .map((g) => ({ ...g, k: (g.k - residue) / step }));
    if (all.length < FEWEST) return null;
  }
  return null;
}

function fitted(
  level: Level,
  strip: Strip,
  profile: Profile,
  polarity: -1 | 1,
  all: readonly Graduation[],
): GraduationRow | null {
  const numbers = all.map((g) => g.k);
  const places = all.map((g) => g.s);
  const flat = fitLattice(numbers, places);
  if (!flat) return null;
  const pitch = Math.abs(flat.spacing((all[0]!.k + all.at(-1)!.k) / 2));
  const fits = (l: Lattice | null): l is Lattice =>
    l !== null && l.inlierShare >= LEAST_INLIERS && l.rmsPx <= MOST_RMS_PITCH * pitch;
  const bent = fits(flat) || all.length < FEWEST_BENT ? null : fitBentLattice(numbers, places);
  const lattice = bent ?? flat;
  if (!fits(lattice)) return null;
  const graduations = all.filter((_, i) => lattice.inliers[i]);
  if (graduations.length < FEWEST) return null;
  return {
    strip,
    level,
    polarity,
    graduations,
    lattice,
    contrast: median(graduations.map((g) => g.contrast)),
    barWidth:
      pitch / level.scale < COARSE_PITCH_PX ? null : barWidthOf(profile, polarity, lattice, graduations),
  };
}

/** Below this the blur of a pixel and a half is a tenth of the pitch itself. */
const COARSE_PITCH_PX = 16;

function barWidthOf(
  profile: Profile,
  polarity: -1 | 1,
  lattice: Lattice,
  graduations: readonly Graduation[],
): number {
  const widths = graduations.map(({ k }) => {
    const values = Array.from(
      { length: 51 },
      (_, i) => polarity * valueAt(profile, lattice.at(k + (i - 25) / 50)),
    );
    const top = Math.max(...values.slice(18, 33));
    const ground = 0.5 * (values[1]! + values[49]!);
    const half = 0.5 * (top + ground);
    let from = 25;
    let to = 25;
    while (from > 0 && values[from - 1]! > half) from--;
    while (to < 50 && values[to + 1]! > half) to++;
    return (to - from + 1) / 50;
  });
  return median(widths);
}

/** Centroid of the bar within 0.4 pitch of where the wave puts it, and its contrast against half a pitch away. */
export function measuredBar(
  profile: Profile,
  pitch: number,
  polarity: -1 | 1,
  k: number,
  s: number,
): Graduation {
  let at = s;
  for (let round = 0; round < 2; round++) at = centroid(profile, pitch, polarity, at);
  const ground =
    0.5 *
    (meanNear(profile, at - 0.5 * pitch, 0.1 * pitch) + meanNear(profile, at + 0.5 * pitch, 0.1 * pitch));
  return { k, s: at, contrast: polarity * (meanNear(profile, at, 0.08 * pitch) - ground) };
}

function centroid(profile: Profile, pitch: number, polarity: -1 | 1, s: number): number {
  const reach = 0.4 * pitch;
  const values: number[] = [];
  const count = 25;
  for (let i = 0; i < count; i++)
    values.push(polarity * valueAt(profile, s - reach + (2 * reach * i) / (count - 1)));
  const top = Math.max(...values);
  const bottom = Math.min(...values);
  if (!(top > bottom)) return s;
  // Only the upper part of the bar: shading at its foot would pull.
  const floor = bottom + 0.4 * (top - bottom);
  let sum = 0;
  let moment = 0;
  values.forEach((v, i) => {
    const w = v - floor;
    if (w <= 0) return;
    sum += w;
    moment += w * i;
  });
  return s - reach + (2 * reach * (moment / sum)) / (count - 1);
}

function meanNear(profile: Profile, s: number, half: number): number {
  return (valueAt(profile, s - half) + valueAt(profile, s) + valueAt(profile, s + half)) / 3;
}

/** Every second or every third bar, when the others are hardly there; null when all have real contrast. */
function strongPart(graduations: readonly Graduation[]): { step: number; residue: number } | null {
  for (const step of [2, 3]) {
    const parts = Array.from({ length: step }, (_, residue) => {
      const contrasts = graduations.filter((g) => remainder(g.k, step) === residue).map((g) => g.contrast);
      const missing = contrasts.length < (0.4 * graduations.length) / step;
      return { residue, contrast: missing ? 0 : median(contrasts) };
    }).sort((a, b) => b.contrast - a.contrast);
    if (parts[1]!.contrast < ALTERNATE * parts[0]!.contrast) return { step, residue: parts[0]!.residue };
  }
  return null;
}

const remainder = (k: number, step: number) => ((k % step) + step) % step;

function skewness(flat: Float64Array): number {
  let n = 0;
  let m2 = 0;
  let m3 = 0;
  for (const v of flat) {
    if (Number.isNaN(v)) continue;
    n++;
    m2 += v * v;
    m3 += v * v * v;
  }
  return m2 > 0 ? m3 / n / (m2 / n) ** 1.5 : 0;
}
