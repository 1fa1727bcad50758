import { type EdgeReading, middleNumber } from "./edge-reading.ts";
import { readNumerals } from "./numerals/read-numerals.ts";
import type { Level } from "./search/pyramid.ts";
import { withNumerals } from "./unit/by-numerals.ts";

/** Neat enough for a scale's edge, in graduations; texture seldom is. */
const MOST_RMS_PITCH = 0.08;
/** Reading what is written costs as much as finding an edge: only the most promising are worth it. */
const MOST_READ = 10;

/** Edges with their unit judged by what is written beside them as well. */
export function letteredEdges(levels: readonly Level[], edges: readonly EdgeReading[]): EdgeReading[] {
  const promising = [...edges]
    .filter(
      ({ row }) => row.lattice.rmsPx <= MOST_RMS_PITCH * Math.abs(row.lattice.spacing(middleNumber(row))),
    )
    .sort((a, b) => promise(b) - promise(a))
    .slice(0, MOST_READ);
  return edges.map((edge) =>
    promising.includes(edge) ? withNumerals(edge, readNumerals(levels, edge.row)) : edge,
  );
}

function promise({ judgement, row }: EdgeReading): number {
  const seen = judgement.verdict === "none" ? 0 : 1e4;
  return seen + row.graduations.length;
}
