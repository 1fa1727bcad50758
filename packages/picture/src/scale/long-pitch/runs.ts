import type { Segment } from "./segments.ts";

/** Marks at numbered places of one row. */
export interface Run {
  readonly marks: readonly { readonly k: number; readonly mark: Segment }[];
}

export interface RunRule {
  /** From mark to mark the bright side changes (borders of blocks); bars have none. */
  readonly turns: boolean;
  readonly fewest: number;
  /** Distance of marks against their length. */
  readonly leastSpacing: number;
  readonly mostSpacing: number;
}

/** Segments that are looked at: text and cloth give thousands, and pairs grow with the square. */
const MOST_MARKS = 1500;
/** The nearest of about the same length, and the nearest of any: finer graduations stand between. */
const NEIGHBOURS = 3;
const SAME_LENGTH = 1.25;
/** Neighbouring marks: directions within 12 degrees; a finer graduation may lengthen some of them. */
const PARALLEL_COS = Math.cos((12 * Math.PI) / 180);
const MOST_LENGTH_RATIO = 2.4;
/** A lean of 45 degrees turns the marks against the row by less than 25 degrees. */
const MOST_SHEAR = 0.47;
/** Where the next mark is looked for, in steps along, in steps and lengths across. */
const ALONG = 0.1;
const ACROSS = 0.08;
const ACROSS_LENGTH = 0.3;
/** Marks that glare, hair or a finger may hide in a row. */
const MOST_MISSES = 1;
const LEAST_OCCUPANCY = 0.75;
const MOST_RUNS = 60;
/** Share of its marks that a run has in common with another of which it tells nothing new. */
const SAME_MARKS = 0.7;

/** Rows of marks at even distances, longest first. Most are chance; they may share marks. */
export function runsOf(all: readonly Segment[], rule: RunRule): Run[] {
  const marks = [...all].sort((a, b) => b.length * b.strength - a.length * a.strength).slice(0, MOST_MARKS);
  const found: Run[] = [];
  const seen = new Set<string>();
  marks.forEach((a, i) => {
    for (const j of nextTo(marks, a, i, rule)) {
      if (seen.has(`${i},${j}`)) continue;
      const run = walked(marks, i, j, rule);
      // The same row need not be walked from each of its pairs.
      run.forEach(({ at }, p) => {
        const next = run[p + 1];
        if (next && next.k - run[p]!.k === 1) seen.add(`${at},${next.at}`).add(`${next.at},${at}`);
      });
      const span = run.at(-1)!.k - run[0]!.k + 1;
      if (run.length < rule.fewest || run.length < LEAST_OCCUPANCY * span) continue;
      found.push({ marks: run.map(({ k, at }) => ({ k, mark: marks[at]! })) });
    }
  });
  const weight = ({ marks }: Run) => marks.length * Math.sqrt(marks[0]!.mark.length);
  return unlike(found.sort((a, b) => weight(b) - weight(a)));
}

/** Of runs through mostly the same marks the first. */
function unlike(runs: readonly Run[]): Run[] {
  const kept: { run: Run; marks: Set<Segment> }[] = [];
  for (const run of runs) {
    if (kept.length >= MOST_RUNS) break;
    const least = SAME_MARKS * run.marks.length;
    if (kept.some(({ marks }) => run.marks.filter(({ mark }) => marks.has(mark)).length > least)) continue;
    kept.push({ run, marks: new Set(run.marks.map(({ mark }) => mark)) });
  }
  return kept.map(({ run }) => run);
}

function nextTo(marks: readonly Segment[], a: Segment, i: number, rule: RunRule): number[] {
  const near: { j: number; d: number; same: boolean }[] = [];
  marks.forEach((b, j) => {
    if (j === i || !alike(a, b, rule.turns || null)) return;
    const dx = b.x - a.x;
    const dy = b.y - a.y;
    const d = Math.hypot(dx, dy);
    const length = Math.min(a.length, b.length);
    if (d < rule.leastSpacing * length || d > rule.mostSpacing * length) return;
    if (Math.abs(dy * a.nx - dx * a.ny) > MOST_SHEAR * Math.abs(dx * a.nx + dy * a.ny)) return;
    near.push({ j, d, same: a.length < SAME_LENGTH * b.length && b.length < SAME_LENGTH * a.length });
  });
  near.sort((p, q) => p.d - q.d);
  const same = near.filter((n) => n.same).slice(0, NEIGHBOURS);
  return [...new Set([...same, ...near.slice(0, NEIGHBOURS)])].map(({ j }) => j);
}

/** @param turned whether the bright sides must be opposite ones; null where there are none */
function alike(a: Segment, b: Segment, turned: boolean | null): boolean {
  const cos = a.nx * b.nx + a.ny * b.ny;
  const ratio = a.length / b.length;
  return (
    (turned === null ? Math.abs(cos) : turned ? -cos : cos) > PARALLEL_COS &&
    ratio < MOST_LENGTH_RATIO &&
    ratio > 1 / MOST_LENGTH_RATIO
  );
}

interface Numbered {
  readonly k: number;
  readonly at: number;
}

function walked(marks: readonly Segment[], i: number, j: number, rule: RunRule): Numbered[] {
  const forward = follow(marks, i, j, rule);
  const backward = follow(marks, j, i, rule);
  return [
    ...backward.map(({ k, at }) => ({ k: -k, at })).reverse(),
    { k: 0, at: i },
    { k: 1, at: j },
    ...forward.map(({ k, at }) => ({ k: k + 1, at })),
  ];
}

/** Marks beyond `to`, seen from `from`; numbered from `to` on. */
function follow(marks: readonly Segment[], from: number, to: number, rule: RunRule): Numbered[] {
  const found: Numbered[] = [];
  let last = marks[to]!;
  let stepX = last.x - marks[from]!.x;
  let stepY = last.y - marks[from]!.y;
  let k = 0;
  for (let misses = 0; misses <= MOST_MISSES; ) {
    const ahead = misses + 1;
    const turned = rule.turns ? ahead % 2 === 1 : null;
    const at = nearest(marks, last, ahead * stepX, ahead * stepY, ahead, turned);
    if (at < 0) {
      misses++;
      continue;
    }
    const next = marks[at]!;
    // Perspective lengthens or shortens every step by the same little.
    stepX = 0.5 * (stepX + (next.x - last.x) / ahead);
    stepY = 0.5 * (stepY + (next.y - last.y) / ahead);
    k += ahead;
    found.push({ k, at });
    last = next;
    misses = 0;
  }
  return found;
}

function nearest(
  marks: readonly Segment[],
  last: Segment,
  dx: number,
  dy: number,
  steps: number,
  turned: boolean | null,
): number {
  const step = Math.hypot(dx, dy) / steps;
  const ux = dx / (steps * step);
  const uy = dy / (steps * step);
  let best = -1;
  let least = 1;
  for (let at = 0; at < marks.length; at++) {
    const m = marks[at]!;
    const ex = m.x - last.x - dx;
    const ey = m.y - last.y - dy;
    if (Math.abs(ex) + Math.abs(ey) > step + last.length) continue;
    const along = Math.abs(ex * ux + ey * uy) / (ALONG * step * Math.sqrt(steps) + 1);
    const across =
      Math.abs(ey * ux - ex * uy) /
      (ACROSS * step * steps + ACROSS_LENGTH * Math.max(last.length, m.length) + 1);
    if (along > 1 || across > 1 || !alike(last, m, turned)) continue;
    const off = Math.max(along, across);
    if (off < least) {
      least = off;
      best = at;
    }
  }
  return best;
}
