import { applyHomography, fitHomography, type Matrix3 } from "@samescale/geometry";
import type { UprightPicture } from "../../decode/picture.ts";
import { CHART_COLUMNS, CHART_ROWS } from "../chart24.ts";
import { patchCandidates } from "./candidates.ts";
import { key, type Lattice, type LatticeCell, lattices } from "./lattice.ts";
import { patchColour } from "./patch-colour.ts";
import { type LatticeColours, type Placement, placements, type Rgb, score } from "./placement.ts";

/** The 24-patch chart as it lies in the picture that was searched. */
export interface SeenChart {
  /** Chart cells (column 0 to 5, row 0 to 3; the centre of patch 1 is (0, 0)) to pixels of the searched picture. */
  readonly cellsToPx: Matrix3;
  readonly mirrored: boolean;
  /** Patches, 1 to 24 in order, whose colour fits the chart; the others are covered, burnt out or in glare. */
  readonly fitting: readonly boolean[];
  /** Share of the colours' spread that the chart explains, times the share of patches that fit. */
  readonly score: number;
  /** The same for the best placement that contradicts this one. */
  readonly runnerUp: number;
  /** Share of the spread of hues that the chart explains. */
  readonly hueExplained: number;
  /** Patches of the same lattice right beside the 24: a larger target. */
  readonly beside: number;
  readonly pitchPx: number;
}

/** Everything in the picture that could be the chart, most convincing first. */
export function chartsIn(picture: UprightPicture): SeenChart[] {
  const seen = lattices(patchCandidates(picture)).map((lattice) => chartOn(lattice, picture));
  return seen.filter((chart) => chart !== null).sort((a, b) => b.score - a.score);
}

function chartOn(lattice: Lattice, picture: UprightPicture): SeenChart | null {
  const trusted = trustedCells([...lattice.cells.values()]);
  if (!trusted) return null;
  const { cells, toPx } = trusted;
  const ranked = placements(coloursOf(cells, toPx, picture));
  const best = ranked[0];
  if (!best) return null;
  const chartIndex = new Map(best.cells.map(([column, row], i) => [key(column, row), i]));
  const pairs = cells.flatMap((cell) => {
    const i = chartIndex.get(key(cell.column, cell.row));
    if (i === undefined) return [];
    return [{ from: { x: i % CHART_COLUMNS, y: Math.floor(i / CHART_COLUMNS) }, to: cell.patch }];
  });
  const fit = fitHomography(pairs);
  if (!fit.ok) return null;
  const first = applyHomography(fit.homography, { x: 0, y: 0 });
  const last = applyHomography(fit.homography, { x: CHART_COLUMNS - 1, y: CHART_ROWS - 1 });
  return {
    cellsToPx: fit.homography,
    mirrored: best.mirrored,
    fitting: best.fitting,
    score: score(best),
    runnerUp: ranked[1] ? score(ranked[1]) : 0,
    hueExplained: best.hueExplained,
    beside: cells.filter((cell) => isBeside(cell, best)).length,
    pitchPx: Math.hypot(last.x - first.x, last.y - first.y) / Math.hypot(CHART_COLUMNS - 1, CHART_ROWS - 1),
  };
}

/** A patch's middle is known to a small part of the pitch; what is off by more is something else nearby. */
const MAX_OFF_PITCH = 0.15;

function trustedCells(
  cells: readonly LatticeCell[],
): { readonly cells: readonly LatticeCell[]; readonly toPx: Matrix3 } | null {
  let kept = cells;
  for (let round = 0; round < 6; round++) {
    const fit = fitHomography(kept.map((c) => ({ from: { x: c.column, y: c.row }, to: c.patch })));
    if (!fit.ok) return null;
    const allowed = kept.map((c) => MAX_OFF_PITCH * 1.2 * c.patch.sidePx);
    const worst = fit.residuals.reduce(
      (w, r, i) => (r / allowed[i]! > w.ratio ? { ratio: r / allowed[i]!, at: i } : w),
      { ratio: 1, at: -1 },
    );
    if (worst.at < 0) return { cells: kept, toPx: fit.homography };
    kept = kept.filter((_, i) => i !== worst.at);
  }
  return null;
}

function coloursOf(cells: readonly LatticeCell[], toPx: Matrix3, picture: UprightPicture): LatticeColours {
  const isPatch = new Set(cells.map((c) => key(c.column, c.row)));
  const columns = cells.map((c) => c.column);
  const rows = cells.map((c) => c.row);
  const known = new Map<string, Rgb | null>();
  const at = (x: number, y: number) => applyHomography(toPx, { x, y });
  const { column, row } = cells[0]!;
  const [corner, right, below] = [at(column, row), at(column + 0.5, row), at(column, row + 0.5)];
  const turn = (right.x - corner.x) * (below.y - corner.y) - (right.y - corner.y) * (below.x - corner.x);
  return {
    columns: [Math.min(...columns), Math.max(...columns)],
    rows: [Math.min(...rows), Math.max(...rows)],
    turn: turn > 0 ? 1 : -1,
    isPatch: (column, row) => isPatch.has(key(column, row)),
    colourOf(column, row) {
      const k = key(column, row);
      let rgb = known.get(k);
      if (rgb === undefined) {
        rgb = patchColour(picture, toPx, column, row)?.median ?? null;
        known.set(k, rgb);
      }
      return rgb;
    },
  };
}

function isBeside(cell: LatticeCell, placement: Placement): boolean {
  const columns = placement.cells.map(([c]) => c);
  const rows = placement.cells.map(([, r]) => r);
  const [c0, c1, r0, r1] = [Math.min(...columns), Math.max(...columns), Math.min(...rows), Math.max(...rows)];
  const outside = cell.column < c0 || cell.column > c1 || cell.row < r0 || cell.row > r1;
  return (
    outside && cell.column >= c0 - 1 && cell.column <= c1 + 1 && cell.row >= r0 - 1 && cell.row <= r1 + 1
  );
}
