import type { Point } from "../units.ts";
import { placeInRing } from "./contains.ts";
import { type Edge, edgesOf, selfCrossingsOf } from "./crossings.ts";
import { namedFaults } from "./faults.ts";
import { orient, type Region, type Ring, signedAreaOf } from "./ring.ts";
import { turn } from "./turn.ts";

export interface Repaired {
  readonly ok: true;
  /** One region as a rule; two or more where the outline crossed itself into parts of weight. */
  readonly regions: readonly Region[];
  /** What was done, in words; empty when nothing was wrong. */
  readonly done: readonly string[];
}

export interface RepairRefused {
  readonly ok: false;
  readonly reason: string;
}

/** A loop smaller than this share of the largest is a slip of the hand, not a part: below the aim for an area, 1 %. */
const SLIP = 0.01;
/** Splitting rounds the crossing points, which can leave a new crossing beside the old; more rounds than this never helped. */
const SPLIT_ROUNDS = 4;
/** More meetings than this are no slip of the hand. */
const MOST_MEETINGS = 1000;

/**
 * Mends a region as far as that is possible without guessing. **Only on a person's request**: it can change an
 * area. Points that are not numbers or repeat are dropped, spikes cut, an outline that crosses itself is split into
 * its loops; what its path goes round at all is kept (non-zero winding), slips of less than 1 % of the
 * largest loop are left out, holes outside are dropped. Holes across an edge are refused: only the person
 * knows what was meant.
 */
export function repair(region: Region): Repaired | RepairRefused {
  for (const ring of [region.outline, ...region.holes]) {
    if (selfCrossingsOf(ring, MOST_MEETINGS).length >= MOST_MEETINGS) {
      return {
        ok: false,
        reason: `an outline meets itself in ${MOST_MEETINGS} places or more: draw it again`,
      };
    }
  }
  const done: string[] = [];
  const parts = partsOf(region.outline, "the outline", done);
  if (parts.length === 0) return { ok: false, reason: "the outline encloses no area" };
  const cuts = parts.map((part) => [...part.holes]);
  for (const [i, hole] of region.holes.entries()) {
    const name = `hole ${i + 1}`;
    const pieces = partsOf(hole, name, done);
    if (pieces.length === 0) done.push(`${name} was dropped: it encloses no area`);
    for (const piece of pieces) {
      const home = parts.findIndex((part) =>
        piece.outline.some((p) => placeInRing(part.outline, p) === "inside"),
      );
      if (home >= 0) cuts[home]!.push(piece.outline);
      else done.push(`${name} was dropped: it lies outside the outline`);
    }
  }
  const regions = parts.map((part, k) => ({ outline: part.outline, holes: cuts[k]! }));
  const left = regions.flatMap(namedFaults);
  if (left.length > 0) return { ok: false, reason: `cannot be mended without guessing: ${left[0]}` };
  return { ok: true, regions, done };
}

/** The simple regions that a ring's path goes round, largest first, turned as the ring was. */
function partsOf(ring: Ring, name: string, done: string[]): Region[] {
  const clean = withoutRepeats(ring, name, done);
  const crossings = selfCrossingsOf(clean);
  const loops = crossings.length === 0 ? [clean] : simpleLoops(splitAtMeetings(clean));
  const withArea = loops.filter((loop) => loop.length >= 3 && signedAreaOf(loop) !== 0);
  withArea.sort((p, q) => Math.abs(signedAreaOf(q)) - Math.abs(signedAreaOf(p)));
  const largest = withArea[0];
  if (largest === undefined) return [];
  const kept = withArea.filter(
    (loop) => Math.abs(signedAreaOf(loop)) >= SLIP * Math.abs(signedAreaOf(largest)),
  );
  if (crossings.length > 0) {
    const lost = withArea.slice(kept.length).reduce((sum, loop) => sum + Math.abs(signedAreaOf(loop)), 0);
    const share = (100 * lost) / Math.abs(signedAreaOf(largest));
    done.push(
      `${name} met itself in ${crossings.length} place${crossings.length > 1 ? "s" : ""}: ` +
        `${kept.length} loop${kept.length > 1 ? "s" : ""} kept, ${share.toFixed(2)} % of the largest left out`,
    );
  }
  const way = signedAreaOf(largest) > 0 ? "clockwise" : "anticlockwise";
  return regionsOf(kept).map(({ outline, holes }) => ({ outline: orient(outline, way), holes }));
}

function withoutRepeats(ring: Ring, name: string, done: string[]): Ring {
  const numbers = ring.filter((p) => Number.isFinite(p.x) && Number.isFinite(p.y));
  const distinct = numbers.filter((p, i) => {
    const before = numbers.at(i - 1)!;
    return numbers.length === 1 || p.x !== before.x || p.y !== before.y;
  });
  const notNumbers = ring.length - numbers.length;
  const repeats = numbers.length - distinct.length;
  if (notNumbers > 0) done.push(`${name}: points dropped that are not numbers: ${notNumbers}`);
  if (repeats > 0) done.push(`${name}: repeated points dropped: ${repeats}`);
  return distinct;
}

/** The same path with a point wherever it meets itself, so that its edges meet at ends only. */
function splitAtMeetings(ring: Ring): Ring {
  let path = ring;
  for (let round = 0; round < SPLIT_ROUNDS; round++) {
    const extra = new Map<number, Point[]>();
    const edges = new Map(edgesOf(path).map((edge) => [edge.index, edge]));
    for (const { at, edges: pair, kind } of selfCrossingsOf(path)) {
      const [one, other] = [edges.get(pair[0])!, edges.get(pair[1])!];
      const points = kind === "crosses" ? [at] : [one.a, one.b, other.a, other.b];
      for (const edge of [one, other]) {
        for (const p of points) {
          if (isEnd(p, edge) || (kind !== "crosses" && !isOn(p, edge))) continue;
          extra.set(edge.index, [...(extra.get(edge.index) ?? []), p]);
        }
      }
    }
    if (extra.size === 0) break;
    path = path.flatMap((p, i) => [p, ...inOrder(extra.get(i) ?? [], p)]);
  }
  return path;
}

const isEnd = (p: Point, { a, b }: Edge): boolean =>
  (p.x === a.x && p.y === a.y) || (p.x === b.x && p.y === b.y);

const isOn = (p: Point, edge: Edge): boolean =>
  turn(edge.a, edge.b, p) === 0 &&
  p.x >= edge.minX &&
  p.x <= edge.maxX &&
  p.y >= edge.minY &&
  p.y <= edge.maxY;

const inOrder = (points: readonly Point[], start: Point): Point[] =>
  points
    .toSorted((p, q) => Math.hypot(p.x - start.x, p.y - start.y) - Math.hypot(q.x - start.x, q.y - start.y))
    .filter((p, i, all) => i === 0 || p.x !== all[i - 1]!.x || p.y !== all[i - 1]!.y);

/** Walks the path and takes a loop off whenever it comes back to a point it has been at. */
function simpleLoops(path: Ring): Ring[] {
  const loops: Ring[] = [];
  const walked: Point[] = [];
  const placeOf = new Map<string, number>();
  for (const p of path) {
    const key = `${p.x} ${p.y}`;
    const seen = placeOf.get(key);
    if (seen !== undefined) {
      const loop = walked.splice(seen);
      for (const q of loop) placeOf.delete(`${q.x} ${q.y}`);
      loops.push(loop);
    }
    placeOf.set(key, walked.length);
    walked.push(p);
  }
  return [...loops, walked];
}

/** Loops that do not cross -> regions of non-zero winding: a loop is an edge where one of its sides has winding 0. */
function regionsOf(loops: readonly Ring[]): Region[] {
  const sides = loops.map((loop) => {
    const outside = loops.reduce(
      (sum, other) => sum + (other !== loop && liesIn(loop, other) ? signOf(other) : 0),
      0,
    );
    return { loop, outside, inside: outside + signOf(loop) };
  });
  const holes = sides.filter(({ outside, inside }) => outside !== 0 && inside === 0).map(({ loop }) => loop);
  return sides
    .filter(({ outside, inside }) => outside === 0 && inside !== 0)
    .map(({ loop }) => ({ outline: loop, holes: holes.filter((hole) => liesIn(hole, loop)) }));
}

const signOf = (loop: Ring): number => Math.sign(signedAreaOf(loop));

/** Whether a loop lies in another that it does not cross; points in common do not decide. */
function liesIn(loop: Ring, other: Ring): boolean {
  for (let i = 0; i < loop.length; i++) {
    const p = loop[i]!;
    const q = loop[(i + 1) % loop.length]!;
    for (const r of [p, { x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 }]) {
      const place = placeInRing(other, r);
      if (place !== "edge") return place === "inside";
    }
  }
  return false;
}
