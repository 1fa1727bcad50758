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
 * Stops after `atMost` places, so that a scribble of a hundred thousand points costs no more than a bad outline.
 * Sweeps along the axis in which the edges are short, so the time grows with the edges that share a stretch of it.
 */
export function selfCrossingsOf(ring: Ring, atMost = Infinity): readonly SelfCrossing[] {
  const edges = edgesOf(ring);
  const next = new Map(edges.map((edge, i) => [edge.index, edges[(i + 1) % edges.length]!.index]));
  return meetingsAmong(edges, edges, atMost, (one, other) => {
    const areNeighbours = next.get(one.index) === other.index || next.get(other.index) === one.index;
    return areNeighbours ? foldBack(one, other) : meetingOf(one, other);
  });
}

/** Where the edges of two different rings cross, touch or overlap; `edges` are [of the first ring, of the second]. */
export function crossingsBetween(first: Ring, second: Ring, atMost = Infinity): readonly SelfCrossing[] {
  return meetingsAmong(edgesOf(first), edgesOf(second), atMost, meetingOf);
}

/**
 * All pairs, one of each list (or two of the one list given twice), whose boxes meet and of which `meet` says where, in
 * order of the edges. A sweep: each edge in turn is held against those begun before it that have not ended.
 */
function meetingsAmong(
  ones: readonly Edge[],
  others: readonly Edge[],
  atMost: number,
  meet: (one: Edge, other: Edge) => Meeting | null,
): SelfCrossing[] {
  const found: SelfCrossing[] = [];
  const [min, max, low, high] = sweepAxis([...ones, ...others]);
  const isOneList = ones === others;
  const queue = ones.map((edge) => ({ edge, side: 0 }));
  if (!isOneList) queue.push(...others.map((edge) => ({ edge, side: 1 })));
  queue.sort((p, q) => p.edge[min] - q.edge[min]);
  const begun: readonly [Edge[], Edge[]] = [[], []];
  for (const { edge, side } of queue) {
    const against = begun[isOneList || side === 1 ? 0 : 1];
    let open = 0;
    for (const earlier of against) {
      if (earlier[max] < edge[min]) continue;
      against[open++] = earlier;
      if (earlier[high] < edge[low] || earlier[low] > edge[high]) continue;
      const isFirst = isOneList ? edge.index < earlier.index : side === 0;
      const [one, other] = isFirst ? [edge, earlier] : [earlier, edge];
      const meeting = meet(one, other);
      if (meeting === null) continue;
      found.push({ ...meeting, edges: [one.index, other.index] });
      if (found.length >= atMost) return inOrder(found);
    }
    against.length = open;
    begun[side === 0 ? 0 : 1].push(edge);
  }
  return inOrder(found);
}

const inOrder = (found: SelfCrossing[]): SelfCrossing[] =>
  found.sort((p, q) => p.edges[0] - q.edges[0] || p.edges[1] - q.edges[1]);

/** Along the axis in which the edges are shorter on the whole, fewer are open at once. */
function sweepAxis(edges: readonly Edge[]) {
  let [alongX, alongY] = [0, 0];
  for (const edge of edges) {
    alongX += edge.maxX - edge.minX;
    alongY += edge.maxY - edge.minY;
  }
  return alongX <= alongY
    ? (["minX", "maxX", "minY", "maxY"] as const)
    : (["minY", "maxY", "minX", "maxX"] as const);
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
