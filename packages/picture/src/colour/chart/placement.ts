import { CHART_COLUMNS, CHART_ROWS, CHART24 } from "../chart24.ts";
import { labD50ToLinear, linearToSrgb } from "../space.ts";

/**
 * Which cell of a lattice is which patch of the chart is decided by the colours alone. For every possible
 * placement the 24 colours seen are explained by the 24 reference colours through one affine map (light,
 * white balance, camera, glare), robustly, as patches may be covered or burnt out.
 */
export interface Placement {
  /** Lattice cell of patch 1 to 24. */
  readonly cells: readonly (readonly [column: number, row: number])[];
  /** The chart is seen as in a mirror. */
  readonly mirrored: boolean;
  /** Share of the colours' spread that the map explains, over the patches that fit it. */
  readonly explained: number;
  /** The same for what is left of the colours when their lightness is taken out: 0 for any grey picture. */
  readonly hueExplained: number;
  /** Patches that fit the map. */
  readonly fitting: readonly boolean[];
  readonly fittingCount: number;
}

export type Rgb = readonly [r: number, g: number, b: number];

/** Reference colours as gamma-coded sRGB, 0 to 1: evenly spread as the eye and the camera's JPEG spread them. */
const REFERENCE: readonly Rgb[] = CHART24.map((patch) => {
  const [r, g, b] = labD50ToLinear(patch.labD50["after-2014"]);
  const coded = (v: number) => linearToSrgb(Math.min(1, Math.max(0, v)));
  return [coded(r), coded(g), coded(b)];
});

/** The eight ways to lay the chart on a lattice: position in the chart → step along the lattice's two axes. */
const LAYINGS = [
  [1, 0, 0, 1],
  [-1, 0, 0, -1],
  [0, 1, -1, 0],
  [0, -1, 1, 0],
  [-1, 0, 0, 1],
  [1, 0, 0, -1],
  [0, 1, 1, 0],
  [0, -1, -1, 0],
] as const;

export interface LatticeColours {
  readonly columns: readonly [min: number, max: number];
  readonly rows: readonly [min: number, max: number];
  /** +1 when the lattice's column and row axes turn as x and y do in the picture, else -1. */
  readonly turn: 1 | -1;
  isPatch(column: number, row: number): boolean;
  /** Colour of a cell, 0 to 1 gamma-coded; null outside the picture. */
  colourOf(column: number, row: number): Rgb | null;
}

/** Fewer lattice patches inside the 24 cells than this, and the placement rests on empty places. */
const MIN_PATCHES_INSIDE = 9;
/** With fewer colours than this, a map of 4 numbers a channel explains too much by chance. */
const MIN_COLOURS = 16;

/** Every placement with its fit, best first. */
export function placements(lattice: LatticeColours): Placement[] {
  const found: Placement[] = [];
  for (const laying of LAYINGS) {
    const upright = laying[0] !== 0;
    const [across, down] = upright ? [CHART_COLUMNS, CHART_ROWS] : [CHART_ROWS, CHART_COLUMNS];
    for (let c0 = lattice.columns[0] - across + 2; c0 <= lattice.columns[1] - 1; c0++) {
      for (let r0 = lattice.rows[0] - down + 2; r0 <= lattice.rows[1] - 1; r0++) {
        const cells = cellsOf(laying, c0, r0, across, down);
        if (cells.filter(([c, r]) => lattice.isPatch(c, r)).length < MIN_PATCHES_INSIDE) continue;
        const colours = cells.map(([c, r]) => lattice.colourOf(c, r));
        if (colours.filter((k) => k !== null).length < MIN_COLOURS) continue;
        const fit = explain(colours);
        if (!fit) continue;
        const turn = Math.sign(laying[0] * laying[3] - laying[1] * laying[2]);
        found.push({ cells, mirrored: turn * lattice.turn < 0, ...fit });
      }
    }
  }
  return found.sort((a, b) => score(b) - score(a));
}

/** One number to rank by: what is explained, and over how many patches. */
export const score = (p: Placement): number => p.explained * (p.fittingCount / CHART24.length);

function cellsOf(
  [cx, cy, rx, ry]: (typeof LAYINGS)[number],
  c0: number,
  r0: number,
  across: number,
  down: number,
): (readonly [number, number])[] {
  const startC = cx < 0 || rx < 0 ? c0 + across - 1 : c0;
  const startR = cy < 0 || ry < 0 ? r0 + down - 1 : r0;
  return CHART24.map((_, i) => {
    const [column, row] = [i % CHART_COLUMNS, Math.floor(i / CHART_COLUMNS)];
    return [startC + column * cx + row * rx, startR + column * cy + row * ry] as const;
  });
}

/** A residual of 0.1 of the coded range is a patch covered, burnt out or in glare, not the map's own error. */
const OUTLIER = 0.25;

/**
 * Fits seen = A · (1, reference) for all three channels at once, down-weighting patches that do not follow
 * (Cauchy weights), and tells how much of the spread of the colours it explains.
 */
function explain(seen: readonly (Rgb | null)[]): Omit<Placement, "cells" | "mirrored"> | null {
  let weights: number[] = seen.map((k) => (k ? 1 : 0));
  let residuals: number[] = [];
  let fitted: number[][] = [];
  for (let round = 0; round < 8; round++) {
    const map = fitAffineColour(seen, weights);
    if (!map) return null;
    fitted = map;
    residuals = seen.map((k, i) =>
      k ? Math.sqrt(squares(minus(k, mapped(map, REFERENCE[i]!)))) : Number.POSITIVE_INFINITY,
    );
    const scale = Math.max(0.02, median(residuals.filter(Number.isFinite)));
    weights = residuals.map((r) => 1 / (1 + (r / (1.5 * scale)) ** 2));
  }
  // light makes each channel rise with its own reference first: a map that swaps channels is no photograph
  if (![0, 1, 2].every((c) => fitted[c]![c + 1]! > 0)) return null;
  const fitting = residuals.map((r) => r < OUTLIER);
  const fittingCount = fitting.filter(Boolean).length;
  if (fittingCount < MIN_COLOURS) return null;
  // 4 of n numbers per channel are spent on the map: compare mean squares, not sums
  const n = fittingCount;
  const share = (left: number, spread: number) => 1 - left / (n - 4) / (spread / (n - 1));
  const said = seen.map((_, i) => mapped(fitted, REFERENCE[i]!));
  const pairs = seen.flatMap((k, i) => (k && fitting[i] ? [[k, said[i]!] as const] : []));
  const explained = share(
    sum(pairs, ([k, s]) => squares(minus(k, s))),
    spreadOf(pairs.map(([k]) => k)),
  );
  const hueExplained = share(
    sum(pairs, ([k, s]) => squares(minus(hueOf(k), hueOf(s)))),
    spreadOf(pairs.map(([k]) => hueOf(k))),
  );
  return { explained, hueExplained, fitting, fittingCount };
}

const minus = (a: Rgb, b: Rgb): Rgb => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const squares = (a: Rgb): number => a[0] ** 2 + a[1] ** 2 + a[2] ** 2;
const sum = <T>(list: readonly T[], of: (one: T) => number): number =>
  list.reduce((s, one) => s + of(one), 0);

function hueOf(k: Rgb): Rgb {
  const grey = (k[0] + k[1] + k[2]) / 3;
  return [k[0] - grey, k[1] - grey, k[2] - grey];
}

function spreadOf(colours: readonly Rgb[]): number {
  const mean = ([0, 1, 2] as const).map((c) => sum(colours, (k) => k[c]) / colours.length);
  return sum(colours, (k) => squares(minus(k, [mean[0]!, mean[1]!, mean[2]!])));
}

function mapped(map: readonly (readonly number[])[], reference: Rgb): Rgb {
  const channel = (m: readonly number[]) =>
    m[0]! + m[1]! * reference[0] + m[2]! * reference[1] + m[3]! * reference[2];
  return [channel(map[0]!), channel(map[1]!), channel(map[2]!)];
}

/** Weighted least squares, one 4 × 4 system shared by the three channels. */
function fitAffineColour(seen: readonly (Rgb | null)[], weights: readonly number[]): number[][] | null {
  const system = Array.from({ length: 4 }, () => new Array<number>(7).fill(0));
  for (const [i, k] of seen.entries()) {
    const w = weights[i]!;
    if (!k || w === 0) continue;
    const terms = [1, ...REFERENCE[i]!];
    for (let r = 0; r < 4; r++) {
      for (let c = 0; c < 4; c++) system[r]![c]! += w * terms[r]! * terms[c]!;
      for (const c of [0, 1, 2] as const) system[r]![4 + c]! += w * terms[r]! * k[c];
    }
  }
  for (let p = 0; p < 4; p++) {
    let pivot = p;
    for (let r = p + 1; r < 4; r++) if (Math.abs(system[r]![p]!) > Math.abs(system[pivot]![p]!)) pivot = r;
    if (Math.abs(system[pivot]![p]!) < 1e-9) return null;
    [system[p], system[pivot]] = [system[pivot]!, system[p]!];
    for (let r = 0; r < 4; r++) {
      if (r === p) continue;
      const f = system[r]![p]! / system[p]![p]!;
      for (let c = p; c < 7; c++) system[r]![c]! -= f * system[p]![c]!;
    }
  }
  return [0, 1, 2].map((c) => system.map((row, r) => row[4 + c]! / row[r]!));
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? 0;
}
