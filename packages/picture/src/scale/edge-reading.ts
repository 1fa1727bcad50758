import { fanned } from "./edge/fan.ts";
import { type GraduationRow, graduationRows } from "./edge/graduations.ts";
import { type BarLengths, barLengths } from "./edge/lengths.ts";
import { stripOf } from "./edge/strip.ts";
import { track } from "./edge/track.ts";
import type { Level } from "./search/pyramid.ts";
import type { Candidate } from "./search/tile-search.ts";
import { alternatingBlocks } from "./unit/blocks.ts";
import { MILLIMETRES } from "./unit/hierarchy.ts";
import { type Judgement, judge, provedTens } from "./unit/judge.ts";
import { blockOfTen } from "./unit/one-block.ts";
import { sparseBeyond } from "./unit/sparse.ts";
import { type UnitReading, unitReadings } from "./unit/unit.ts";

/** One edge with graduations that follow a lattice, and what they say. */
export interface EdgeReading {
  readonly row: GraduationRow;
  readonly lengths: BarLengths;
  readonly units: readonly UnitReading[];
  readonly judgement: Judgement;
  /**
   * What stands at the lattice's places: thin bars, bars as far apart as centimetres, or the borders of blocks that are
   * dark and light by turns.
   */
  readonly marks: "bars" | "lone bars" | "blocks";
}

/** Follows a candidate to the ends of its edge and reads it; both polarities where both fit. */
export function edgesAt(levels: readonly Level[], level: Level, candidate: Candidate): EdgeReading[] {
  const found = track(level, candidate);
  if (!found) return [];
  return graduationRows(levels, stripOf(found)).map((row) => read(levels, alongTheBars(levels, row)));
}

/** Measured once more, now that the bars themselves have told how they lie. */
function alongTheBars(levels: readonly Level[], row: GraduationRow): GraduationRow {
  return graduationRows(levels, fanned(row)).find(({ polarity }) => polarity === row.polarity) ?? row;
}

function read(levels: readonly Level[], row: GraduationRow): EdgeReading {
  const lengths = barLengths(levels, row);
  const units = unitReadings(row, lengths);
  const judgement = judge(row, lengths, units);
  const edge: EdgeReading = { row, lengths, units, judgement, marks: "bars" };
  if (judgement.verdict !== "none") return edge;
  const blocks = alternatingBlocks(levels, row);
  if (blocks?.length === 10 || blockOfTen(levels, row, units[0])) {
    return { ...edge, judgement: provedTens(row, lengths, MILLIMETRES, "blocks") };
  }
  const sparse = sparseBeyond(row);
  if (sparse?.period === 10) {
    const proved = provedTens(sparse.row, lengths, MILLIMETRES, "graduations");
    return { ...edge, row: sparse.row, lengths: barLengths(levels, sparse.row), judgement: proved };
  }
  return edge;
}

/** The graduation nearest to a picture point. */
export function nearestNumber({ strip, lattice, graduations }: GraduationRow, x: number, y: number): number {
  let best = graduations[0]!.k;
  let least = Number.POSITIVE_INFINITY;
  for (const { k } of graduations) {
    const p = strip.at(lattice.at(k), 0);
    const d = (p.x - x) ** 2 + (p.y - y) ** 2;
    if (d < least) {
      least = d;
      best = k;
    }
  }
  return best;
}

/** Number of the middle of the part that was read; need not be whole. */
export function middleNumber({ graduations }: GraduationRow): number {
  return (graduations[0]!.k + graduations.at(-1)!.k) / 2;
}
