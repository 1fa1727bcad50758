import type { Point } from "../units.ts";
import { LeastFirst } from "./least-first.ts";
import { PointGrid } from "./point-grid.ts";
import { type Ring, signedAreaOf } from "./ring.ts";
import { turn } from "./turn.ts";

export interface Reshaped {
  readonly ring: Ring;
  /** (new area - old area) / old area; both taken as positive. */
  readonly areaChange: number;
  /** Greatest distance of a point of the old outline to the new one, unit of the coordinates. */
  readonly moved: number;
}

export interface ReshapeLimits {
  /** Largest relative change of area, either way. */
  readonly maxAreaChange?: number;
  /** Other rings (the outline, holes) that the result must not come to cross. */
  readonly keepClearOf?: readonly Ring[];
}

/** A fifth of the usual aim for an area (1 %), so that reshaping never is what an error budget turns on. */
export const USUAL_MAX_AREA_CHANGE = 0.002;

/** A point still in the outline, with its neighbours. */
interface Corner {
  before: number;
  after: number;
  kept: boolean;
}

/**
 * Takes points out of an outline, those that matter least to its area first, as long as the outline stays within
 * `maxOffset` of every point it had, its area within `maxAreaChange` (relative), and no edge comes to cross
 * another. Never fewer than three points. An outline with fewer than four points, without area, or with points that
 * are not numbers comes back as it is.
 * @source Visvalingam1993 (order of removal)
 */
export function simplify(ring: Ring, maxOffset: number, limits: ReshapeLimits = {}): Reshaped {
  const area = Math.abs(signedAreaOf(ring));
  if (ring.length < 4 || !(area > 0 && area < Infinity) || !(maxOffset > 0)) {
    return { ring, areaChange: 0, moved: 0 };
  }
  const maxChange = (limits.maxAreaChange ?? USUAL_MAX_AREA_CHANGE) * area;
  // Copies, so that points are told apart by place in the ring even where one object stands in it twice.
  const points = ring.map(({ x, y }) => ({ x, y }));
  const obstacles = new PointGrid([...points, ...(limits.keepClearOf ?? []).flat()]);
  const n = ring.length;
  const corners: Corner[] = ring.map((_, i) => ({ before: (i + n - 1) % n, after: (i + 1) % n, kept: true }));
  const doubleArea = (i: number): number =>
    turn(ring[corners[i]!.before]!, ring[i]!, ring[corners[i]!.after]!);

  const queue = new LeastFirst(n);
  for (let i = 0; i < n; i++) queue.set(i, Math.abs(doubleArea(i)));
  let left = n;
  let change = 0;
  let moved = 0;
  for (let i = queue.takeLeast(); i >= 0 && left > 3; i = queue.takeLeast()) {
    const corner = corners[i]!;
    const lost = doubleArea(i) / 2;
    if (Math.abs(change - lost) > maxChange) continue;
    const offset = offsetOfRange(ring, corner.before, corner.after);
    if (!(offset <= maxOffset) || !isClear(points, corners, i, obstacles)) continue;
    corner.kept = false;
    obstacles.delete(points[i]!);
    corners[corner.before]!.after = corner.after;
    corners[corner.after]!.before = corner.before;
    change -= lost;
    moved = Math.max(moved, offset);
    left -= 1;
    for (const neighbour of [corner.before, corner.after])
      queue.set(neighbour, Math.abs(doubleArea(neighbour)));
  }
  const simplified = ring.filter((_, i) => corners[i]!.kept);
  return { ring: simplified, areaChange: Math.abs(signedAreaOf(simplified)) / area - 1, moved };
}

/** Greatest distance from the straight edge first-last to the ring's own points between them. */
function offsetOfRange(ring: Ring, first: number, last: number): number {
  const [a, b] = [ring[first]!, ring[last]!];
  let offset = 0;
  for (let i = (first + 1) % ring.length; i !== last; i = (i + 1) % ring.length) {
    offset = Math.max(offset, distanceToSegment(ring[i]!, a, b));
  }
  return offset;
}

export function distanceToSegment(p: Point, a: Point, b: Point): number {
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const square = dx * dx + dy * dy;
  const t = square > 0 ? Math.min(1, Math.max(0, ((p.x - a.x) * dx + (p.y - a.y) * dy) / square)) : 0;
  return Math.hypot(p.x - a.x - t * dx, p.y - a.y - t * dy);
}

/**
 * Cutting a corner sweeps its triangle. Another edge could come to be crossed only by ending inside that triangle or on
 * its edges, so no other point may lie there.
 */
function isClear(points: Ring, corners: readonly Corner[], i: number, obstacles: PointGrid): boolean {
  const [a, b, c] = [points[corners[i]!.before]!, points[i]!, points[corners[i]!.after]!];
  const isInTriangle = (p: Point): boolean => {
    // What lies on an end of the new edge was on the old edges' ends already.
    if (p === b || (p.x === a.x && p.y === a.y) || (p.x === c.x && p.y === c.y)) return false;
    const sides = [turn(a, b, p), turn(b, c, p), turn(c, a, p)];
    return !(sides.some((s) => s > 0) && sides.some((s) => s < 0));
  };
  const [minX, minY] = [Math.min(a.x, b.x, c.x), Math.min(a.y, b.y, c.y)];
  const [maxX, maxY] = [Math.max(a.x, b.x, c.x), Math.max(a.y, b.y, c.y)];
  return !obstacles.some(
    minX,
    minY,
    maxX,
    maxY,
    (p) => p.x >= minX && p.x <= maxX && p.y >= minY && p.y <= maxY && isInTriangle(p),
  );
}
