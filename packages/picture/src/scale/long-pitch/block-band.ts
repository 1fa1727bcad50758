import type { Lattice } from "../edge/lattice.ts";
import { greyAt } from "../edge/sample.ts";
import type { Strip } from "../edge/strip.ts";
import { mean, median } from "../numbers.ts";
import type { Level } from "../search/pyramid.ts";
import { type Station, stripThrough } from "./run-strip.ts";

/** Where blocks are looked at, between their borders. */
const INSIDE = [0.35, 0.5, 0.65] as const;
/** How far to both sides of the marks' middles, in lengths of marks: a finer graduation may have displaced them. */
const REACH = 1.2;
const ROWS = 60;
/** Against the typical step between blocks. */
const ENDED = 0.5;
/** Heights of blocks differ by less. */
const MOST_HEIGHT_RATIO = 1.4;
const FEWEST = 3;
/** As the shortest borders that are looked for. */
const LOWEST_PX = 5;

/**
 * The strip through the blocks themselves: each block's upper and lower end is where its tone stops differing from
 * its neighbours'. Null when there are not enough blocks that do.
 */
export function bandOfBlocks(
  level: Level,
  strip: Strip,
  lattice: Lattice,
  [first, last]: readonly [number, number],
): Strip | null {
  const half = 0.5 * (strip.band[1] - strip.band[0]);
  const step = (2 * REACH * half) / ROWS;
  const tones = (k: number) =>
    Array.from({ length: 2 * ROWS + 1 }, (_, i) => toneOf(level, strip, lattice, k, (i - ROWS) * step));
  const rows = Array.from({ length: last - first }, (_, i) => tones(first + i));
  const steps = rows.map((row, i) => {
    const beside = [rows[i - 1], rows[i + 1]].filter((r) => r !== undefined);
    return row.map((tone, o) => tone - beside.reduce((sum, r) => sum + r[o]!, 0) / beside.length);
  });
  // Every second block is the brighter: in its rows the mean of all steps, turned, is largest.
  const turned = steps.map((row, i) => (i % 2 === 0 ? row : row.map((v) => -v)));
  const means = turned[0]!.map((_, o) => mean(turned.map((row) => row[o]!)));
  const sign = Math.max(...means.filter(seen)) > -Math.min(...means.filter(seen)) ? 1 : -1;
  const risen = turned.map((row) => row.map((v) => sign * v));
  const typical = median(risen.map((row) => Math.max(0, ...row.filter(seen))));
  const ends = risen.map((row) => longestAbove(row, ENDED * typical));
  const height = median(ends.flatMap((e) => (e ? [e[1] - e[0]] : [])).concat(0));
  if (height * step < LOWEST_PX) return null;
  const stations: Station[] = [];
  ends.forEach((end, i) => {
    if (!end) return;
    const ratio = (end[1] - end[0]) / height;
    if (ratio > MOST_HEIGHT_RATIO || ratio < 1 / MOST_HEIGHT_RATIO) return;
    const s = lattice.at(first + i + 0.5);
    const p = strip.at(s, (0.5 * (end[0] + end[1]) - ROWS) * step);
    const bar = strip.bar(s);
    stations.push({
      x: p.x / level.scale,
      y: p.y / level.scale,
      nx: bar.y,
      ny: -bar.x,
      length: (height * step) / level.scale,
    });
  });
  if (stations.length < Math.min(FEWEST, last - first)) return null;
  const through = stripThrough(level, stations, strip.pitchPx / level.scale);
  return { ...through, band: [-0.5 * height * step, 0.5 * height * step] };
}

/** What lies outside the picture is not a number. */
const seen = (v: number) => !Number.isNaN(v);

function toneOf(level: Level, strip: Strip, lattice: Lattice, k: number, o: number): number {
  return (
    INSIDE.reduce((sum, part) => sum + greyAt(level, strip.at(lattice.at(k + part), o)), 0) / INSIDE.length
  );
}

/** The longest run of rows above a value, ends between the rows. */
function longestAbove(row: readonly number[], least: number): readonly [number, number] | null {
  let best: readonly [number, number] | null = null;
  let from = -1;
  for (let i = 1; i < row.length; i++) {
    const [a, b] = [row[i - 1]!, row[i]!];
    if (a < least && b >= least) from = i - 1 + (least - a) / (b - a);
    if (a >= least && b < least && from >= 0) {
      const to = i - 1 + (a - least) / (a - b);
      if (!best || to - from > best[1] - best[0]) best = [from, to];
      from = -1;
    }
  }
  return best;
}
