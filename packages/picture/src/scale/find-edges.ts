import type { XY } from "../answers.ts";
import { type EdgeReading, edgesAt, nearestNumber } from "./edge-reading.ts";
import { farApartEdges } from "./long-pitch/far-apart-edges.ts";
import type { Level } from "./search/pyramid.ts";
import { type Candidate, searchTiles } from "./search/tile-search.ts";
import { withBlocksBeside } from "./unit/blocks-beside.ts";

export interface FindOptions {
  /** Look within this distance of a point, both in picture pixels. */
  readonly near?: { readonly centre: XY; readonly radiusPx: number };
  /** Look for blocks and lone bars also where graduations are read beyond doubt. */
  readonly farApart?: boolean;
}

/** Smallest pitch that can be told from noise, and the largest that one octave more would find better. */
const LEAST_PITCH_PX = 3;
const OCTAVE = [3.8, 8.6] as const;
/** At the coarsest level nothing comes after. */
const COARSEST_MOST = 13;

/** Every edge of the picture that reads, coarse levels first; stops one level after the first sure one. */
export function findEdges(levels: readonly Level[], options: FindOptions = {}): EdgeReading[] {
  const edges: EdgeReading[] = [];
  let sureAt = -1;
  for (let i = levels.length - 1; i >= 0; i--) {
    if (sureAt >= 0 && i < sureAt - 1) break;
    const level = levels[i]!;
    const found = searchTiles(level, {
      leastPitchPx: i === 0 ? LEAST_PITCH_PX : OCTAVE[0],
      mostPitchPx: i === levels.length - 1 ? COARSEST_MOST : OCTAVE[1],
      ...(options.near && {
        near: {
          centre: [options.near.centre[0] / level.scale, options.near.centre[1] / level.scale] as const,
          radiusPx: options.near.radiusPx / level.scale,
        },
      }),
    });
    const before = edges.length;
    for (const candidate of found) {
      // A sure edge need not be read again, nor one that says anything twice at one level; nor a grid, which has many lines.
      const known = edges.filter(
        ({ judgement: { verdict }, row: { strip } }, at) =>
          verdict === "sure" || (at >= before && (verdict !== "none" || strip.open)),
      );
      if (known.some((e) => covers(e, level, candidate))) continue;
      for (const edge of edgesAt(levels, level, candidate)) {
        edges.push(edge);
        if (edge.judgement.verdict === "sure" && sureAt < 0) sureAt = i;
      }
    }
  }
  // These are no proof by themselves: where graduations are sure, nothing waits for them.
  const farApart =
    sureAt < 0 || options.farApart ? farApartEdges(levels).filter((e) => isNear(e, options)) : [];
  return [...withBlocksBeside(distinct(edges), farApart), ...farApart];
}

function isNear({ row }: EdgeReading, { near }: FindOptions): boolean {
  if (!near) return true;
  const [x, y] = near.centre;
  const p = row.strip.at(row.lattice.at(nearestNumber(row, x, y)), 0);
  return Math.hypot(p.x - x, p.y - y) <= near.radiusPx;
}

/** Whether a candidate is the edge already read: on its band and with its pitch; of a sure one, also half or twice it. */
function covers({ row, judgement }: EdgeReading, level: Level, c: Candidate): boolean {
  const x = c.x * level.scale;
  const y = c.y * level.scale;
  const k = nearestNumber(row, x, y);
  const p = row.strip.at(row.lattice.at(k), 0);
  const edge = row.strip.edge(row.lattice.at(k));
  const pitch = Math.abs(row.lattice.spacing(k));
  const ratio = (c.pitchPx * level.scale) / pitch;
  const multiples = judgement.verdict === "sure" ? [0.5, 1, 2] : [1];
  const samePitch = multiples.some((m) => Math.abs(Math.log(ratio / m)) < 0.08);
  const direction = Math.abs(c.ux * edge.x + c.uy * edge.y) > 0.94;
  return samePitch && direction && Math.hypot(x - p.x, y - p.y) < Math.max(14 * pitch, 32 * level.scale);
}

/** One reading per edge: the surest, then the one with the highest score. */
function distinct(edges: readonly EdgeReading[]): EdgeReading[] {
  const value = (e: EdgeReading) => RANK[e.judgement.verdict] * 1e6 + (e.units[0]?.score ?? 0);
  const kept: EdgeReading[] = [];
  for (const edge of [...edges].sort((a, b) => value(b) - value(a))) {
    if (!kept.some((k) => sameEdge(k, edge))) kept.push(edge);
  }
  return kept;
}

const RANK = { sure: 3, binary: 2, doubtful: 2, none: 0 } as const;

function sameEdge(a: EdgeReading, b: EdgeReading): boolean {
  const middle = b.row.graduations[b.row.graduations.length >> 1]!;
  const p = b.row.strip.at(middle.s, 0);
  const k = nearestNumber(a.row, p.x, p.y);
  const q = a.row.strip.at(a.row.lattice.at(k), 0);
  const pitch = Math.max(Math.abs(a.row.lattice.spacing(k)), Math.abs(b.row.lattice.spacing(middle.k)));
  const ea = a.row.strip.edge(a.row.lattice.at(k));
  const eb = b.row.strip.edge(middle.s);
  return Math.hypot(p.x - q.x, p.y - q.y) < 6 * pitch && Math.abs(ea.x * eb.x + ea.y * eb.y) > 0.94;
}
