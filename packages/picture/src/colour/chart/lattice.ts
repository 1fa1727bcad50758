import type { PatchCandidate } from "./candidates.ts";

/** Patches that lie on one (perspective) lattice: `cells.get(key(column, row))`. Axes are arbitrary. */
export interface Lattice {
  readonly cells: ReadonlyMap<string, LatticeCell>;
}

export interface LatticeCell {
  readonly column: number;
  readonly row: number;
  readonly patch: PatchCandidate;
}

/** A chart of 24 of which so few are seen is not read: a homography and the colours' order both need spread. */
const MIN_CELLS = 9;

/** Neighbouring patches of one chart look alike in size, even under perspective and with eroded edges. */
const AREA_RATIO = 2;

/** Share of a cell that its patch may fill: charts have gaps between patches, but not wider than the patches. */
const MIN_FILL = 0.22;
const MAX_FILL = 0.97;

/** How far a patch may lie from where its neighbours predict it, as a share of the pitch. */
const MAX_MISS = 0.2;

const NEIGHBOURS_TRIED = 10;
/** Indices beyond this are no chart, but a tiled floor. */
const MAX_INDEX = 12;

export const key = (column: number, row: number): string => `${column},${row}`;

interface Vector {
  readonly x: number;
  readonly y: number;
}

/** Grows lattices from every patch and its neighbours; the ones with most cells first. */
export function lattices(patches: readonly PatchCandidate[]): Lattice[] {
  const found: Lattice[] = [];
  const used = new Set<PatchCandidate>();
  for (const seed of patches) {
    if (used.has(seed)) continue;
    const near = nearestAlike(seed, patches);
    let best: Lattice | null = null;
    for (const [u, v] of bases(seed, near)) {
      const lattice = grow(seed, u, v, patches);
      if (lattice.cells.size >= MIN_CELLS && lattice.cells.size > (best?.cells.size ?? 0)) best = lattice;
    }
    if (!best) continue;
    found.push(best);
    for (const cell of best.cells.values()) used.add(cell.patch);
  }
  return found.sort((a, b) => b.cells.size - a.cells.size);
}

function nearestAlike(seed: PatchCandidate, patches: readonly PatchCandidate[]): PatchCandidate[] {
  const near: { readonly patch: PatchCandidate; readonly d: number }[] = [];
  for (const patch of patches) {
    const d = Math.hypot(patch.x - seed.x, patch.y - seed.y);
    if (d < 0.5 * seed.sidePx || d > 4 * seed.sidePx || !alike(patch.areaPx, seed.areaPx)) continue;
    near.push({ patch, d });
  }
  near.sort((a, b) => a.d - b.d);
  return near.slice(0, NEIGHBOURS_TRIED).map((n) => n.patch);
}

const alike = (a: number, b: number) => a < AREA_RATIO * b && b < AREA_RATIO * a;

/** Pairs of steps from the seed to two neighbours that could be the lattice's. */
function* bases(seed: PatchCandidate, near: readonly PatchCandidate[]): Generator<[Vector, Vector]> {
  for (let i = 0; i < near.length; i++) {
    for (let j = i + 1; j < near.length; j++) {
      const u = { x: near[i]!.x - seed.x, y: near[i]!.y - seed.y };
      const v = { x: near[j]!.x - seed.x, y: near[j]!.y - seed.y };
      const cell = Math.abs(u.x * v.y - u.y * v.x);
      const fill = seed.areaPx / cell;
      if (!(fill >= MIN_FILL && fill <= MAX_FILL)) continue;
      const [lu, lv] = [Math.hypot(u.x, u.y), Math.hypot(v.x, v.y)];
      // closer to parallel than 30° is a diagonal of the same lattice, or a line of patches
      if (cell < 0.5 * lu * lv || lu > 3 * lv || lv > 3 * lu) continue;
      if (!fitsShape(seed, u, v)) continue;
      yield [u, v];
    }
  }
}

/**
 * A square patch spreads evenly along the lattice's two steps, however it is seen: its covariance, measured in
 * steps, is a multiple of the unit matrix. For a sheared choice of steps (u, u + v) its axes would be as 2.6 to 1.
 */
const MAX_SHAPE_RATIO = 2.2;

function fitsShape({ spread: [xx, xy, yy] }: PatchCandidate, u: Vector, v: Vector): boolean {
  // rows of the inverse of [u v], up to the common factor 1 / det
  const [a, b, c, d] = [v.y, -v.x, -u.y, u.x];
  const p = a * a * xx + 2 * a * b * xy + b * b * yy;
  const q = a * c * xx + (a * d + b * c) * xy + b * d * yy;
  const r = c * c * xx + 2 * c * d * xy + d * d * yy;
  const half = (p + r) / 2;
  const root = Math.hypot((p - r) / 2, q);
  return half + root < MAX_SHAPE_RATIO ** 2 * (half - root);
}

function grow(seed: PatchCandidate, u: Vector, v: Vector, patches: readonly PatchCandidate[]): Lattice {
  const cells = new Map<string, LatticeCell>();
  const taken = new Set<PatchCandidate>();
  const put = (column: number, row: number, patch: PatchCandidate) => {
    cells.set(key(column, row), { column, row, patch });
    taken.add(patch);
  };
  put(0, 0, seed);
  const queue: LatticeCell[] = [{ column: 0, row: 0, patch: seed }];
  const missed = new Map<string, number>();
  for (let at = queue.shift(); at; at = queue.shift()) {
    for (const [dc, dr] of [
      [1, 0],
      [-1, 0],
      [0, 1],
      [0, -1],
    ] as const) {
      const [column, row] = [at.column + dc, at.row + dr];
      const k = key(column, row);
      if (Math.abs(column) > MAX_INDEX || Math.abs(row) > MAX_INDEX || cells.has(k)) continue;
      // Asked again only when more is known round it than last time.
      if (missed.get(k) === cells.size) continue;
      const wanted = predicted(cells, at, dc, dr, u, v);
      const patch = nearest(wanted, at.patch, patches, taken);
      if (!patch) {
        missed.set(k, cells.size);
        continue;
      }
      put(column, row, patch);
      queue.push({ column, row, patch });
    }
  }
  return { cells };
}

/** Where the neighbour should be: as the step beside it, the step before it, or the seed's own step says. */
function predicted(
  cells: ReadonlyMap<string, LatticeCell>,
  at: LatticeCell,
  dc: number,
  dr: number,
  u: Vector,
  v: Vector,
): Vector & { readonly pitch: number } {
  const steps: Vector[] = [];
  const step = (fromC: number, fromR: number) => {
    const from = cells.get(key(fromC, fromR))?.patch;
    const to = cells.get(key(fromC + dc, fromR + dr))?.patch;
    if (from && to) steps.push({ x: to.x - from.x, y: to.y - from.y });
  };
  step(at.column - dc, at.row - dr);
  step(at.column + dr, at.row + dc);
  step(at.column - dr, at.row - dc);
  if (steps.length === 0) steps.push({ x: dc * u.x + dr * v.x, y: dc * u.y + dr * v.y });
  const mean = (axis: "x" | "y") => steps.reduce((s, t) => s + t[axis], 0) / steps.length;
  const [x, y] = [mean("x"), mean("y")];
  return {
    x: at.patch.x + x,
    y: at.patch.y + y,
    pitch: Math.min(Math.hypot(u.x, u.y), Math.hypot(v.x, v.y), Math.hypot(x, y)),
  };
}

function nearest(
  wanted: Vector & { readonly pitch: number },
  beside: PatchCandidate,
  patches: readonly PatchCandidate[],
  taken: ReadonlySet<PatchCandidate>,
): PatchCandidate | null {
  let best: PatchCandidate | null = null;
  let least = MAX_MISS * wanted.pitch;
  for (const patch of patches) {
    if (Math.abs(patch.x - wanted.x) > least || Math.abs(patch.y - wanted.y) > least) continue;
    const d = Math.hypot(patch.x - wanted.x, patch.y - wanted.y);
    if (d <= least && alike(patch.areaPx, beside.areaPx) && !taken.has(patch)) {
      best = patch;
      least = d;
    }
  }
  return best;
}
