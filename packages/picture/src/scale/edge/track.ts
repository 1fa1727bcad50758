import type { Level } from "../search/pyramid.ts";
import type { Candidate } from "../search/tile-search.ts";
import type { Lock, Locked } from "./lock-in.ts";
import { lockIn } from "./lock-in.ts";

/** The run of a row of bars through the picture, in pixels of its level. */
export interface Track {
  readonly level: Level;
  /** Middle of the band at each step, in order along the edge. */
  readonly stations: readonly Locked[];
}

/** Pitches around the candidate in which the band is looked for: a tile's step is at most ten pitches. */
const FIRST_REACH = 14;
const REACH = 6;
/** Where a row is picked up it is at its clearest: ticks keep 0.6 and more, texture seldom half. */
const LEAST_SEED_SHARE = 0.42;
const STEP = 5;
/** Against the running mean: the window leaves the ruler at its ends. */
const LEAST_AMPLITUDE = 0.25;
/** Steps that glare or a finger may hide: a finger's breadth of millimetres. */
const MOST_MISSES = 5;
/** A window tells the pitch to this part of what the steps before promise. */
const MOST_DRIFT = 0.03;
/** A lean of 45 degrees close up changes the pitch by less than this from step to step. */
const MOST_TREND = 0.05;
const MOST_STEPS = 200;

/** Locks on to a candidate and follows it both ways until the bars end. Null when there is nothing to lock on to. */
export function track(level: Level, candidate: Candidate): Track | null {
  const seed = seedLock(level, candidate);
  if (!seed) return null;
  const forward = follow(seed, 1);
  const backward = follow(seed, -1);
  return { level, stations: [...backward.toReversed(), seed, ...forward] };
}

function seedLock(level: Level, c: Candidate): Locked | null {
  const guess: Lock = { level, ...c, tx: -c.uy, ty: c.ux };
  const first = lockIn(guess, FIRST_REACH);
  if (!first) return null;
  // Twice more: the corrections of pitch and direction feed each other.
  const second = lockIn(first, REACH);
  const third = second && lockIn(second, REACH);
  return third && third.share >= LEAST_SEED_SHARE ? third : null;
}

function follow(seed: Locked, sense: 1 | -1): Locked[] {
  const stations: Locked[] = [];
  let amplitude = seed.amplitude;
  let misses = 0;
  let trend = 1;
  let ahead: Lock = seed;
  for (let step = 0; step < MOST_STEPS; step++) {
    const distance = sense * STEP * ahead.pitchPx;
    const pitchPx = ahead.pitchPx * trend;
    ahead = { ...ahead, x: ahead.x + ahead.ux * distance, y: ahead.y + ahead.uy * distance, pitchPx };
    if (outside(ahead)) break;
    const found = lockIn(ahead, REACH);
    const drift = found ? Math.abs(found.pitchPx / pitchPx - 1) : 1;
    // Until two steps have shown how the pitch changes, it may change.
    const most = MOST_DRIFT + (stations.length < 2 ? MOST_TREND : 0);
    if (!found || drift > most || found.amplitude < LEAST_AMPLITUDE * amplitude) {
      if (++misses > MOST_MISSES) break;
      continue;
    }
    misses = 0;
    amplitude += 0.3 * (found.amplitude - amplitude);
    stations.push(found);
    trend = trendOf(seed, stations);
    const towards = found.open ? found : direction(stations, seed, sense);
    ahead = { ...found, ux: towards.ux, uy: towards.uy, pitchPx: Math.sqrt(found.pitchPx * pitchPx) };
  }
  return stations;
}

/** By what the pitch has grown from step to step, over the last few: one window alone sees it too coarsely. */
function trendOf(seed: Locked, stations: readonly Locked[]): number {
  const last = stations.at(-1) as Locked;
  const from = stations.at(-1 - TREND_STEPS) ?? seed;
  const steps = Math.hypot(last.x - from.x, last.y - from.y) / (STEP * last.pitchPx);
  const trend = (last.pitchPx / from.pitchPx) ** (1 / Math.max(1, steps));
  return Math.max(1 - MOST_TREND, Math.min(1 + MOST_TREND, trend));
}

const TREND_STEPS = 4;

/** Chord over the last steps: one window alone sees the direction too coarsely. */
function direction(stations: readonly Locked[], seed: Locked, sense: 1 | -1): { ux: number; uy: number } {
  const to = stations.at(-1) as Locked;
  const from = stations.at(-4) ?? seed;
  const length = sense * Math.hypot(to.x - from.x, to.y - from.y);
  return { ux: (to.x - from.x) / length, uy: (to.y - from.y) / length };
}

function outside({ level, x, y }: Lock): boolean {
  return x < 0 || y < 0 || x > level.widthPx || y > level.heightPx;
}
