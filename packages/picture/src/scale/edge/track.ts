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
/** Steps that glare, a finger or a numeral may hide. */
const MOST_MISSES = 2;
/** A lean of 45 degrees changes the pitch by less than this from step to step. */
const MOST_DRIFT = 0.03;
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
  let last = seed;
  let amplitude = seed.amplitude;
  let misses = 0;
  let ahead: Lock = seed;
  for (let step = 0; step < MOST_STEPS; step++) {
    const distance = sense * STEP * ahead.pitchPx;
    ahead = { ...ahead, x: ahead.x + ahead.ux * distance, y: ahead.y + ahead.uy * distance };
    if (outside(ahead)) break;
    const found = lockIn(ahead, REACH);
    const drift = found ? Math.abs(found.pitchPx / last.pitchPx - 1) / (1 + misses) : 1;
    if (!found || drift > MOST_DRIFT || found.amplitude < LEAST_AMPLITUDE * amplitude) {
      if (++misses > MOST_MISSES) break;
      continue;
    }
    misses = 0;
    amplitude += 0.3 * (found.amplitude - amplitude);
    stations.push(found);
    const towards = found.open ? found : direction(stations, seed, sense);
    ahead = { ...found, ux: towards.ux, uy: towards.uy, pitchPx: 0.5 * (found.pitchPx + last.pitchPx) };
    last = found;
  }
  return stations;
}

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
