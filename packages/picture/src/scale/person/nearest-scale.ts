import type { XY } from "../../answers.ts";
import { type EdgeReading, nearestNumber } from "../edge-reading.ts";
import { rigidScales } from "../plane/rigid-scale.ts";
import { type SettledEdge, settle } from "../unit/two-sided.ts";

/**
 * Of the edges round a point that a person named, those of the scale that lies nearest to it: its readable edge, and
 * what may belong to it or says nothing by itself. What contradicts it is another scale.
 */
export function nearestScale(edges: readonly EdgeReading[], near: XY): readonly EdgeReading[] {
  const alone = edges.flatMap((edge) => settle([edge]));
  if (alone.length === 0) return edges;
  // Doubtful rows are often no scale: of two, the sure one is meant unless the other lies much nearer.
  const away = (one: SettledEdge) => (one.sure ? 1 : DOUBTFUL_COUNTS) * distance(one.edge, near);
  const nearest = alone.reduce((a, b) => (away(b) < away(a) ? b : a));
  return edges.filter((edge) => {
    if (edge === nearest.edge || !alone.some((one) => one.edge === edge)) return true;
    const together = settle([nearest.edge, edge]);
    const same = together.find((one) => one.edge === nearest.edge);
    return same?.doubts.length === nearest.doubts.length && rigidScales(together).length === 1;
  });
}

const DOUBTFUL_COUNTS = 2;

/** From the nearest graduation to the point, px. */
function distance({ row }: EdgeReading, [x, y]: XY): number {
  const p = row.strip.at(row.lattice.at(nearestNumber(row, x, y)), 0);
  return Math.hypot(p.x - x, p.y - y);
}
