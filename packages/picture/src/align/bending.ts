import type { Bending, XY } from "../answers.ts";
import { type Assessment, COARSE } from "./assess.ts";
import type { LeftOut } from "./work-picture.ts";

/*
 * Skin is no plane and does not lie twice the same: beside the plane's map places may lie some pixels off. A bending moves
 * them, smoothly and little, and never under what was left out: there the plane's map stays as it is, since a map that follows a
 * wound's edge hides its healing.
 */

/** Nodes of the field along the baseline's long side: bends narrower than a twelfth of it are not followed. */
const COLUMNS = 24;
/** Spread of a place's influence, in nodes. */
const REACH = 1.6;
/** Weight of "not bent" against a place's own: far from any place nothing bends. */
const STIFFNESS = 0.5;
/** More than this share of the long side is no bend of the skin but another thing. */
const MOST_SHARE = 0.012;
/** A place that lies this much off what its neighbours say is a wrong one. Working pixels. */
const ODD_PX = 3;
const LEAST_CORRELATION = 0.5;
const FEWEST_PLACES = 40;
/** Places kept for judging agree within this, working pixels, or not. */
const AGREES_PX = 1;
/** By so much of them the agreement must rise. */
const LEAST_GAIN = 0.03;

interface Place {
  readonly x: number;
  readonly y: number;
  readonly dx: number;
  readonly dy: number;
}

/**
 * The smooth bending that is left beside the plane's map, in working pixels of the baseline. Half of the places make it, the
 * other half judge it: where their agreement does not rise it is not used.
 *
 * @param assessment of the final map, at the coarse level
 * @param leftOut what must not bend, in working pixels of the baseline
 */
export function bendingOf(
  assessment: Assessment,
  size: { readonly widthPx: number; readonly heightPx: number },
  leftOut: LeftOut,
): Bending {
  const places = placesOf(assessment);
  const none = (why: string): Bending => ({ used: false, why, maxPx: 0, meanPx: 0, field: null });
  if (places.length < FEWEST_PLACES) return none(`only ${places.length} places tell of a bend`);
  const steady = places.filter((p, i) => isLikeNeighbours(p, i, places));
  const grid = gridOver(size);
  const [making, judging] = [0, 1].map((half) => steady.filter((_, i) => i % 2 === half)) as [
    Place[],
    Place[],
  ];
  const trial = fieldOf(making, grid, size, leftOut);
  const [before, after] = [share(judging), share(judging.map((p) => unbent(p, trial, grid)))];
  const agreement = { before, after };
  if (after < before + LEAST_GAIN) return { ...none("the places follow the plane as well"), agreement };
  const field = fieldOf(steady, grid, size, leftOut);
  const lengths = field.map(([dx, dy]) => Math.hypot(dx, dy));
  return {
    used: true,
    why: null,
    maxPx: Math.max(...lengths),
    meanPx: lengths.reduce((s, v) => s + v, 0) / lengths.length,
    agreement,
    field: { ...grid, shifts: field },
  };
}

/** The same in pixels `by` times as small. */
export function scaledBending(bending: Bending, by: number): Bending {
  const { field } = bending;
  return {
    ...bending,
    maxPx: by * bending.maxPx,
    meanPx: by * bending.meanPx,
    field: field && {
      ...field,
      stepPx: by * field.stepPx,
      shifts: field.shifts.map(([dx, dy]) => [by * dx, by * dy] as const),
    },
  };
}

interface Grid {
  readonly columns: number;
  readonly rows: number;
  /** Distance between nodes; the first lies in the corner of the baseline. */
  readonly stepPx: number;
}

function gridOver({ widthPx, heightPx }: { readonly widthPx: number; readonly heightPx: number }): Grid {
  const stepPx = Math.max(widthPx, heightPx) / COLUMNS;
  return { columns: Math.ceil(widthPx / stepPx) + 1, rows: Math.ceil(heightPx / stepPx) + 1, stepPx };
}

function placesOf({ patches }: Assessment): Place[] {
  const k = COARSE.reduction;
  return patches.flatMap((p) => {
    const atRim = Math.max(Math.abs(p.dx), Math.abs(p.dy)) > COARSE.reachPx - 1;
    if (atRim || p.correlation < LEAST_CORRELATION) return [];
    return [{ x: k * p.x, y: k * p.y, dx: k * p.dx, dy: k * p.dy }];
  });
}

/** Against the median of the eight nearest: a wrong place stands alone. */
function isLikeNeighbours(p: Place, self: number, places: readonly Place[]): boolean {
  const near = places
    .map((q, i) => ({ q, d: i === self ? Number.POSITIVE_INFINITY : (q.x - p.x) ** 2 + (q.y - p.y) ** 2 }))
    .sort((a, b) => a.d - b.d)
    .slice(0, 8)
    .map(({ q }) => q);
  const middle = (values: number[]) => values.sort((a, b) => a - b)[values.length >> 1]!;
  const [mx, my] = [middle(near.map((q) => q.dx)), middle(near.map((q) => q.dy))];
  return Math.hypot(p.dx - mx, p.dy - my) <= ODD_PX;
}

/** Means of the places round each node, weighted by a bell, drawn towards nothing and held to the most. */
function fieldOf(
  places: readonly Place[],
  { columns, rows, stepPx }: Grid,
  { widthPx, heightPx }: { readonly widthPx: number; readonly heightPx: number },
  leftOut: LeftOut,
): XY[] {
  const [spread, most] = [REACH * stepPx, MOST_SHARE * Math.max(widthPx, heightPx)];
  return Array.from({ length: columns * rows }, (_, i): XY => {
    const [x, y] = [(i % columns) * stepPx, Math.floor(i / columns) * stepPx];
    // All four nodes of a cell that touches what is left out stay still: so nothing under it moves, to the last digit.
    if (leftOut.some((ring) => reaches(ring, x, y, Math.SQRT2 * stepPx))) return [0, 0];
    let [weights, dx, dy] = [STIFFNESS, 0, 0];
    for (const p of places) {
      const w = Math.exp(-((p.x - x) ** 2 + (p.y - y) ** 2) / (2 * spread ** 2));
      weights += w;
      dx += w * p.dx;
      dy += w * p.dy;
    }
    const length = Math.hypot(dx, dy) / weights;
    const held = length > most ? most / length : 1;
    return [(held * dx) / weights, (held * dy) / weights];
  });
}

/** Whether a ring comes within `by` of a point, or holds it. */
function reaches(ring: LeftOut[number], x: number, y: number, by: number): boolean {
  let inside = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const [[ax, ay], [bx, by2]] = [ring[j]!, ring[i]!];
    const [ex, ey] = [bx - ax, by2 - ay];
    const t = Math.max(0, Math.min(1, ((x - ax) * ex + (y - ay) * ey) / (ex * ex + ey * ey || 1)));
    if (Math.hypot(x - ax - t * ex, y - ay - t * ey) <= by) return true;
    if (by2 > y !== ay > y && x < bx + ((y - by2) / (ay - by2)) * (ax - bx)) inside = !inside;
  }
  return inside;
}

/** The field between its nodes, bilinear. */
export function bendAt(field: readonly XY[], { columns, rows, stepPx }: Grid, x: number, y: number): XY {
  const [u, v] = [x / stepPx, y / stepPx];
  const i = Math.max(0, Math.min(columns - 2, Math.floor(u)));
  const j = Math.max(0, Math.min(rows - 2, Math.floor(v)));
  const [s, t] = [Math.max(0, Math.min(1, u - i)), Math.max(0, Math.min(1, v - j))];
  const at = (k: 0 | 1) => {
    const node = (di: number, dj: number) => field[(j + dj) * columns + i + di]![k];
    return (1 - t) * ((1 - s) * node(0, 0) + s * node(1, 0)) + t * ((1 - s) * node(0, 1) + s * node(1, 1));
  };
  return [at(0), at(1)];
}

function unbent(p: Place, field: readonly XY[], grid: Grid): Place {
  const [dx, dy] = bendAt(field, grid, p.x, p.y);
  return { ...p, dx: p.dx - dx, dy: p.dy - dy };
}

const share = (places: readonly Place[]) =>
  places.filter((p) => Math.hypot(p.dx, p.dy) <= AGREES_PX).length / Math.max(1, places.length);
