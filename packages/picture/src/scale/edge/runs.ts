import { median } from "../numbers.ts";
import { fitLattice, type Lattice } from "./lattice.ts";

/** A bar by its number, its place along the edge and how far it stands out. */
interface Bar {
  readonly k: number;
  readonly s: number;
  readonly contrast: number;
}

/** A bar fainter than this share of the median is taken as missing. */
const FAINT = 0.3;
/** Missing in a row within a run. */
const MOST_GAP = 3;
/** A run beyond a gap is joined when so many bars, or more, fall this near to where the others promise them. */
const FEWEST_JOINED = 6;
const NEAR_PITCH = 0.2;
const NEAR_SHARE = 0.8;
/** A lattice promises nothing beyond this part of its own length. */
const MOST_REACH = 1.5;

/**
 * The longest run of bars that stand out; and the runs beyond what hides some (glare, a finger) whose bars fall on its
 * lattice, a whole number of pitches away.
 */
export function joinedRuns<B extends Bar>(all: readonly B[]): B[] {
  const runs = runsOf(standingOut(all)).sort((a, b) => b.length - a.length);
  let joined = runs.shift() ?? [];
  for (const run of runs) {
    if (run.length < FEWEST_JOINED) break;
    const lattice = fitLattice(
      joined.map((g) => g.k),
      joined.map((g) => g.s),
    );
    const shift = lattice && shiftOnto(lattice, joined, run);
    if (shift === null) continue;
    joined = [...joined, ...run.map((g) => ({ ...g, k: g.k + shift }))].sort((a, b) => a.k - b.k);
  }
  return joined;
}

/** Share of the places that hold a bar, without those that lie in the gaps between runs. */
export function occupancy(bars: readonly Bar[]): number {
  let places = 1;
  for (let i = 1; i < bars.length; i++) {
    const step = bars[i]!.k - bars[i - 1]!.k;
    places += step > MOST_GAP + 1 ? 1 : step;
  }
  return bars.length / places;
}

function standingOut<B extends Bar>(all: readonly B[]): B[] {
  const seen = all.filter((g) => g.contrast > 0);
  if (seen.length === 0) return [];
  const strong = [...seen].sort((a, b) => b.contrast - a.contrast).slice(0, Math.ceil(seen.length * 0.6));
  const least = FAINT * median(strong.map((g) => g.contrast));
  return seen.filter((g) => g.contrast >= least);
}

function runsOf<B extends Bar>(bars: readonly B[]): B[][] {
  const runs: B[][] = [];
  for (const g of bars) {
    const last = runs.at(-1)?.at(-1);
    if (last && g.k - last.k <= MOST_GAP + 1) runs.at(-1)!.push(g);
    else runs.push([g]);
  }
  return runs.map(trimmed);
}

/** A bar that stands apart at an end is seldom one of them and would bend the whole fit. */
function trimmed<B extends Bar>(run: readonly B[]): B[] {
  let [from, to] = [0, run.length - 1];
  while (from < to && run[from + 1]!.k - run[from]!.k > 2) from++;
  while (to > from && run[to]!.k - run[to - 1]!.k > 2) to--;
  return run.slice(from, to + 1);
}

/** What must be added to a run's numbers to put it on the lattice of the others; null when it does not fall on it. */
function shiftOnto(lattice: Lattice, known: readonly Bar[], run: readonly Bar[]): number | null {
  const [first, last] = [known[0]!.k, known.at(-1)!.k];
  const numbers = run.map((g) => numberAt(lattice, g.s, (first + last) / 2));
  const shift = Math.round(median(numbers.map((n, i) => n - run[i]!.k)));
  const shifted = run.map((g) => g.k + shift);
  const apart = shifted[0]! > last ? shifted.at(-1)! - last : first - shifted[0]!;
  const overlaps = shifted[0]! <= last && shifted.at(-1)! >= first;
  if (overlaps || apart > MOST_REACH * (last - first)) return null;
  const near = numbers.filter((n, i) => Math.abs(n - shifted[i]!) < NEAR_PITCH).length;
  return near >= NEAR_SHARE * run.length ? shift : null;
}

/** The number, not whole, of a place along the edge: Newton's method. */
function numberAt(lattice: Lattice, s: number, start: number): number {
  let k = start;
  for (let round = 0; round < 8; round++) k += (s - lattice.at(k)) / lattice.spacing(k);
  return k;
}
