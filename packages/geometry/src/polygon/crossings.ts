import type { Point } from "../units.ts";
import type { Ring } from "./ring.ts";
import { turn } from "./turn.ts";

export interface SelfCrossing {
  readonly at: Point;
  /** Edge i runs from point i to the next one. */
  readonly edges: readonly [number, number];
  /** Through each other; one's end on the other; along the same line for a stretch. */
  readonly kind: "crosses" | "touches" | "overlaps";
}

/** One edge with its place in the ring and its box. */
export interface Edge {
  readonly index: number;
  readonly a: Point;
  readonly b: Point;
  readonly minX: number;
  readonly maxX: number;
  readonly minY: number;
  readonly maxY: number;
}

/** The ring's edges, those without length left out; `index` stays the ring's own. */
export function edgesOf(ring: Ring): Edge[] {
  const edges: Edge[] = [];
  for (let index = 0; index < ring.length; index++) {
    const a = ring[index]!;
    const b = ring[(index + 1) % ring.length]!;
    if (a.x === b.x && a.y === b.y) continue;
    edges.push({
      index,
      a,
      b,
      minX: Math.min(a.x, b.x),
      maxX: Math.max(a.x, b.x),
      minY: Math.min(a.y, b.y),
      maxY: Math.max(a.y, b.y),
    });
  }
  return edges;
}

/**
 * Every place where a ring meets itself: edges that cross, touch or overlap. Neighbouring edges share a point and
 * count only when one folds back over the other (a spike: `overlaps`). Decided with exact predicates; `at` is rounded.
 * Sweeps along x, so the time grows with the edges that share a stretch of x, not with all pairs.
 */
export function selfCrossingsOf(ring: Ring): readonly SelfCrossing[] {
  const edges = edgesOf(ring);
  const next = new Map(edges.map((edge, i) => [edge.index, edges[(i + 1) % edges.length]!.index]));
  const found: SelfCrossing[] = [];
  forMeetingBoxes(edges, edges, (one, other) => {
    if (one.index >= other.index) return;
    const areNeighbours = next.get(one.index) === other.index || next.get(other.index) === one.index;
    const meeting = areNeighbours ? foldBack(one, other) : meetingOf(one, other);
    if (meeting !== null) found.push({ ...meeting, edges: [one.index, other.index] });
  });
  return found.sort((p, q) => p.edges[0] - q.edges[0] || p.edges[1] - q.edges[1]);
}

/** Where the edges of two different rings cross, touch or overlap; `edges` are [of the first ring, of the second]. */
export function crossingsBetween(first: Ring, second: Ring): readonly SelfCrossing[] {
  const found: SelfCrossing[] = [];
  forMeetingBoxes(edgesOf(first), edgesOf(second), (one, other) => {
    const meeting = meetingOf(one, other);
    if (meeting !== null) found.push({ ...meeting, edges: [one.index, other.index] });
  });
  return found.sort((p, q) => p.edges[0] - q.edges[0] || p.edges[1] - q.edges[1]);
}

/** Calls for every pair, one of each list, whose boxes meet. When both lists are the same, a pair comes both ways round. */
function forMeetingBoxes(
  ones: readonly Edge[],
  others: readonly Edge[],
  visit: (one: Edge, other: Edge) => void,
) {
  const sorted = others.toSorted((p, q) => p.minX - q.minX);
  const widest = sorted.reduce((width, edge) => Math.max(width, edge.maxX - edge.minX), 0);
  for (const one of ones) {
    // Edges that begin further left than the widest one is wide cannot reach. One ulp of slack for the subtraction.
    const reach = one.minX - widest;
    for (let k = firstAtLeast(sorted, reach - Math.abs(reach) * 1e-15); k < sorted.length; k++) {
      const other = sorted[k]!;
      if (other.minX > one.maxX) break;
      if (other.maxX < one.minX || other.minY > one.maxY || other.maxY < one.minY) continue;
      visit(one, other);
    }
  }
}

function firstAtLeast(sorted: readonly Edge[], x: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle]!.minX < x) low = middle + 1;
    else high = middle;
  }
  return low;
}

type Meeting = Pick<SelfCrossing, "at" | "kind">;

/** How two edges that share no end by construction meet, if they do. */
export function meetingOf(one: Edge, other: Edge): Meeting | null {
  const a = turn(one.a, one.b, other.a);
  const b = turn(one.a, one.b, other.b);
  const c = turn(other.a, other.b, one.a);
  const d = turn(other.a, other.b, one.b);
  if (a === 0 && b === 0) return overlapOf(one, other);
  if (Math.sign(a) * Math.sign(b) < 0 && Math.sign(c) * Math.sign(d) < 0) {
    const t = c / (c - d);
    const at = { x: one.a.x + t * (one.b.x - one.a.x), y: one.a.y + t * (one.b.y - one.a.y) };
    return { at, kind: "crosses" };
  }
  for (const [value, point, edge] of [
    [a, other.a, one],
    [b, other.b, one],
    [c, one.a, other],
    [d, one.b, other],
  ] as const) {
    if (value === 0 && isWithinBox(point, edge)) return { at: point, kind: "touches" };
  }
  return null;
}

/** Two edges on one line: overlap over a stretch, touch at one point, or apart. */
function overlapOf(one: Edge, other: Edge): Meeting | null {
  const shared = [other.a, other.b]
    .filter((p) => isWithinBox(p, one))
    .concat([one.a, one.b].filter((p) => isWithinBox(p, other)));
  const [first] = shared;
  if (first === undefined) return null;
  const isStretch = shared.some((p) => p.x !== first.x || p.y !== first.y);
  return { at: first, kind: isStretch ? "overlaps" : "touches" };
}

/** Two edges that share an end: a meeting only where they run back over each other. */
function foldBack(one: Edge, other: Edge): Meeting | null {
  const meeting = meetingOf(one, other);
  return meeting?.kind === "overlaps" ? meeting : null;
}

const isWithinBox = (p: Point, edge: Edge): boolean =>
  p.x >= edge.minX && p.x <= edge.maxX && p.y >= edge.minY && p.y <= edge.maxY;
