import type { Level } from "../search/pyramid.ts";
import { sampleLine } from "./sample.ts";

/**
 * Lock-in detection: a window a whole number of pitches long is compared, row by row, with the sine of that
 * pitch and its harmonics. It says in which rows the bars stand, where they stand (the phase), and how far the
 * assumed pitch and directions are off.
 */
export interface Lock {
  readonly level: Level;
  /** A point in the middle of the band of bars, in level pixels. */
  readonly x: number;
  readonly y: number;
  /** Unit vector along the edge. */
  readonly ux: number;
  readonly uy: number;
  /** Unit vector along the bars. Not at right angles to the edge when the picture leans. */
  readonly tx: number;
  readonly ty: number;
  /** Distance of the bars along the edge. */
  readonly pitchPx: number;
}

export interface Locked extends Lock {
  /** Share of the rows' energy that repeats with the pitch, 0 to 1. */
  readonly share: number;
  /** Grey levels. */
  readonly amplitude: number;
  /** Length of the band along the bars, in pitches. */
  readonly bandPitches: number;
  /** The band fills the reach: lines without ends, which cannot tell where the edge runs. */
  readonly open: boolean;
}

/** Samples per pitch along the edge: five harmonics. */
const PER_PITCH = 10;
/** Window, in pitches: short enough for a pitch error of 3 % to stay below a half turn at the ends. */
const WINDOW = 12;
const ROWS_PER_PITCH = 4;
/** Grey levels: glare and shadows do not outvote the ticks. */
const MOST_CONTRAST = 60;
const LEAST_SHARE = 0.33;
/** Part of the window that must lie in the picture. */
const LEAST_IN_PICTURE = 0.6;
/** Bars shorter than this cannot be told from specks. */
const SHORTEST_BAND_ROWS = 4;

interface Row {
  readonly offset: number;
  readonly share: number;
  readonly amplitude: number;
  readonly leftRe: number;
  readonly leftIm: number;
  readonly rightRe: number;
  readonly rightIm: number;
}

const samples = new Float32Array(WINDOW * PER_PITCH + PER_PITCH);
const flat = new Float64Array(WINDOW * PER_PITCH);
const wave = [1, 2, 3].map((h) =>
  Array.from({ length: PER_PITCH }, (_, i) => {
    const a = (2 * Math.PI * h * i) / PER_PITCH;
    return [Math.cos(a), -Math.sin(a)] as const;
  }),
);

/** Looks `reachPitches` to both sides of the assumed band. Null when no band of rows repeats with the pitch. */
export function lockIn(guess: Lock, reachPitches: number): Locked | null {
  const rows = rowsOf(guess, reachPitches);
  const band = bandOf(rows);
  if (!band) return null;
  return adjusted(guess, rows, band);
}

function rowsOf(g: Lock, reach: number): Row[] {
  const rows: Row[] = [];
  const step = g.pitchPx / PER_PITCH;
  const half = (samples.length - 1) / 2;
  const count = Math.round(reach * ROWS_PER_PITCH);
  for (let r = -count; r <= count; r++) {
    const offset = (r / ROWS_PER_PITCH) * g.pitchPx;
    const x = g.x + g.tx * offset - g.ux * step * half;
    const y = g.y + g.ty * offset - g.uy * step * half;
    sampleLine(g.level, x, y, g.ux * step, g.uy * step, samples);
    rows.push(rowFrom(offset));
  }
  return rows;
}

const nothing = (offset: number): Row => ({
  offset,
  share: 0,
  amplitude: 0,
  leftRe: 0,
  leftIm: 0,
  rightRe: 0,
  rightIm: 0,
});

/** High-pass by a one-pitch mean, clip, correlate with the pitch; the two halves apart. */
function rowFrom(offset: number): Row {
  const n = flat.length;
  // What lies in the picture is one run of samples: the picture has no holes.
  let first = 0;
  while (first < samples.length && Number.isNaN(samples[first]!)) first++;
  let last = samples.length - 1;
  while (last > first && Number.isNaN(samples[last]!)) last--;
  const end = last - PER_PITCH;
  const count = end - first + 1;
  if (count < LEAST_IN_PICTURE * n) return nothing(offset);
  flat.fill(0);
  let sum = 0;
  for (let i = first; i < first + PER_PITCH; i++) sum += samples[i]!;
  let energy = 0;
  for (let i = first; i <= end; i++) {
    sum += samples[i + PER_PITCH]!;
    const mean = (sum - 0.5 * (samples[i]! + samples[i + PER_PITCH]!)) / PER_PITCH;
    const d = samples[i + PER_PITCH / 2]! - mean;
    const clipped = Math.max(-MOST_CONTRAST, Math.min(MOST_CONTRAST, d));
    flat[i] = clipped;
    energy += clipped * clipped;
    sum -= samples[i]!;
  }
  if (energy < 1e-6 * count) return nothing(offset);
  const half = n / 2;
  const [leftRe, leftIm] = correlate(0, half, 0);
  const [rightRe, rightIm] = correlate(half, n, 0);
  let power = (leftRe + rightRe) ** 2 + (leftIm + rightIm) ** 2;
  const fundamental = power;
  for (let h = 1; h < wave.length; h++) {
    const [re, im] = correlate(0, n, h);
    power += re * re + im * im;
  }
  return {
    offset,
    share: ((2 / count) * power) / energy,
    amplitude: (2 / count) * Math.sqrt(fundamental),
    leftRe,
    leftIm,
    rightRe,
    rightIm,
  };
}

function correlate(from: number, to: number, harmonic: number): [number, number] {
  const w = wave[harmonic]!;
  let re = 0;
  let im = 0;
  for (let i = from, p = from % PER_PITCH; i < to; i++) {
    const [c, s] = w[p]!;
    re += flat[i]! * c;
    im += flat[i]! * s;
    if (++p === PER_PITCH) p = 0;
  }
  return [re, im];
}

/** The run of rows around the strongest one in which the bars keep half of its amplitude. */
function bandOf(rows: readonly Row[]): readonly [number, number] | null {
  let best = -1;
  let strength = 0;
  for (let i = 0; i < rows.length; i++) {
    const row = rows[i]!;
    if (row.share >= LEAST_SHARE && row.amplitude * row.share > strength) {
      strength = row.amplitude * row.share;
      best = i;
    }
  }
  if (best < 0) return null;
  const least = 0.5 * rows[best]!.amplitude;
  const belongs = (i: number) => {
    const row = rows[i];
    return row !== undefined && row.share >= 0.6 * LEAST_SHARE && row.amplitude >= least;
  };
  let from = best;
  let to = best;
  while (belongs(from - 1) || belongs(from - 2)) from--;
  while (belongs(to + 1) || belongs(to + 2)) to++;
  return to - from + 1 >= SHORTEST_BAND_ROWS ? [from, to] : null;
}

function adjusted(g: Lock, rows: readonly Row[], [from, to]: readonly [number, number]): Locked {
  let turnRe = 0;
  let turnIm = 0;
  let shareSum = 0;
  let amplitudeSum = 0;
  let left = 0;
  let leftAt = 0;
  let right = 0;
  let rightAt = 0;
  for (let i = from; i <= to; i++) {
    const r = rows[i]!;
    turnRe += r.leftRe * r.rightRe + r.leftIm * r.rightIm;
    turnIm += r.leftRe * r.rightIm - r.leftIm * r.rightRe;
    shareSum += r.share;
    amplitudeSum += r.amplitude;
  }
  // How the band lies in the two halves tells the direction of the edge.
  for (let i = Math.max(0, from - 4); i <= Math.min(rows.length - 1, to + 4); i++) {
    const r = rows[i]!;
    const l = Math.hypot(r.leftRe, r.leftIm);
    const h = Math.hypot(r.rightRe, r.rightIm);
    left += l;
    leftAt += l * r.offset;
    right += h;
    rightAt += h * r.offset;
  }
  const n = to - from + 1;
  // The halves' centres lie half a window apart.
  const advance = Math.atan2(turnIm, turnRe);
  const pitchPx = g.pitchPx / (1 + advance / (Math.PI * WINDOW));
  const open = from === 0 || to === rows.length - 1;
  const middle = open ? 0 : 0.5 * (rows[from]!.offset + rows[to]!.offset);
  const rise =
    !open && left > 0 && right > 0 ? (rightAt / right - leftAt / left) / ((WINDOW / 2) * g.pitchPx) : 0;
  const shear = phaseSlope(rows, from, to) * (g.pitchPx / (2 * Math.PI)); // px along the edge per px along the bar
  return {
    ...(open
      ? square(turned(g, 0, clampTo(shear, 0.35)))
      : turned(g, clampTo(rise, 0.2), clampTo(shear, 0.35))),
    level: g.level,
    x: g.x + g.tx * middle,
    y: g.y + g.ty * middle,
    pitchPx: clampTo(pitchPx / g.pitchPx - 1, 0.12) * g.pitchPx + g.pitchPx,
    share: shareSum / n,
    amplitude: amplitudeSum / n,
    bandPitches: n / ROWS_PER_PITCH,
    open,
  };
}

const clampTo = (v: number, most: number) => Math.max(-most, Math.min(most, v));

/** The edge turned by what the band's rise says, the bars by what the phase says. */
function turned(g: Lock, rise: number, shear: number) {
  const ux = g.ux + g.tx * rise;
  const uy = g.uy + g.ty * rise;
  const u = Math.hypot(ux, uy);
  const tx = g.tx + g.ux * shear;
  const ty = g.ty + g.uy * shear;
  const t = Math.hypot(tx, ty);
  return { ux: ux / u, uy: uy / u, tx: tx / t, ty: ty / t };
}

/** Lines without ends: across them is the only direction there is. */
function square({ ux, uy, tx, ty }: Pick<Lock, "ux" | "uy" | "tx" | "ty">) {
  const sense = ux * ty - uy * tx < 0 ? -1 : 1;
  return { ux: sense * ty, uy: -sense * tx, tx, ty };
}

/** Phase against offset over the band, radians per pixel: neighbours' phase steps, weighted by energy. */
function phaseSlope(rows: readonly Row[], from: number, to: number): number {
  let re = 0;
  let im = 0;
  for (let i = from; i < to; i++) {
    const a = rows[i]!;
    const b = rows[i + 1]!;
    const ar = a.leftRe + a.rightRe;
    const ai = a.leftIm + a.rightIm;
    const br = b.leftRe + b.rightRe;
    const bi = b.leftIm + b.rightIm;
    re += ar * br + ai * bi;
    im += ar * bi - ai * br;
  }
  const step = (rows[to]!.offset - rows[from]!.offset) / Math.max(1, to - from);
  // The wave is exp(-i...): a bar further along the edge has a more negative phase.
  return step > 0 ? -Math.atan2(im, re) / step : 0;
}
