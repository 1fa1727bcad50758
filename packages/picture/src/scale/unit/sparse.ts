import { type Graduation, type GraduationRow, measuredBar } from "../edge/graduations.ts";
import { fitLattice, type Lattice } from "../edge/lattice.ts";
import { profileOf } from "../edge/profile.ts";

/**
 * Scales that divide only their first centimetre: beyond the fine graduations one bar in ten goes on. That bars stand
 * at every tenth place and at none between is a proof by itself, and their length makes the reading fine.
 */
export interface SparseRow {
  readonly row: GraduationRow;
  /** Fine graduations per bar beyond them, and how many such bars were found. */
  readonly period: number;
  readonly count: number;
}

/** A longer row of fine graduations tells its unit itself. */
const MOST_FINE = 25;
const PERIODS = [10, 5] as const;
/** Chance that a bar stands by accident where one is expected is a fifth or so: four make one in five hundred. */
const FEWEST = 4;
const MOST_BARS = 40;
/** Contrast against the fine bars'. */
const PRESENT = 0.4;
const ABSENT = 0.25;
/** Where the bar is looked for, in pitches beyond what the fit promises. */
const REACH = 0.3;

export function sparseBeyond(row: GraduationRow): SparseRow | null {
  if (row.graduations.length > MOST_FINE) return null;
  for (const period of PERIODS) {
    const forward = follow(row, row.graduations, 1, period);
    const both = follow(row, forward, -1, period);
    const count = both.length - row.graduations.length;
    if (count < FEWEST) continue;
    const graduations = [...both].sort((a, b) => a.k - b.k);
    const lattice = latticeOf(graduations);
    const pitch = lattice && Math.abs(lattice.spacing(graduations[0]!.k));
    if (!lattice || lattice.rmsPx > 0.1 * pitch! || lattice.inlierShare < 0.9) continue;
    return { row: { ...row, graduations, lattice }, period, count };
  }
  return null;
}

function follow(
  row: GraduationRow,
  start: readonly Graduation[],
  sense: 1 | -1,
  period: number,
): readonly Graduation[] {
  const found = [...start];
  for (let bar = 0; bar < MOST_BARS; bar++) {
    const lattice = latticeOf(found);
    if (!lattice) return found;
    const end = sense === 1 ? Math.max(...found.map((g) => g.k)) : Math.min(...found.map((g) => g.k));
    const next = barAt(row, lattice, end + sense * period);
    if (!next || next.contrast < PRESENT * row.contrast) return found;
    const between = Array.from({ length: period - 1 }, (_, i) => barAt(row, lattice, end + sense * (i + 1)));
    if (between.filter((b) => b !== null && b.contrast > ABSENT * row.contrast).length > 1) return found;
    found.push(next);
  }
  return found;
}

function barAt(row: GraduationRow, lattice: Lattice, k: number): Graduation | null {
  const { strip, level, polarity } = row;
  const s = lattice.at(k);
  const pitch = Math.abs(lattice.spacing(k));
  if (!Number.isFinite(s) || pitch < 0.5 * strip.pitchPx || pitch > 2 * strip.pitchPx) return null;
  const profile = profileOf(level, strip, s - 1.5 * pitch, s + 1.5 * pitch, strip.band);
  if (profile.grey.some(Number.isNaN)) return null;
  const bar = measuredBar(profile, pitch, polarity, k, s);
  return Math.abs(bar.s - s) <= REACH * pitch ? bar : null;
}

const latticeOf = (graduations: readonly Graduation[]): Lattice | null =>
  fitLattice(
    graduations.map((g) => g.k),
    graduations.map((g) => g.s),
  );
