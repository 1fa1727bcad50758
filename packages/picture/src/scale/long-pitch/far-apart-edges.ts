import type { GraduationRow } from "../edge/graduations.ts";
import type { EdgeReading } from "../edge-reading.ts";
import type { Level } from "../search/pyramid.ts";
import { rowsFarApart } from "./find-rows.ts";

/**
 * Alternating blocks, and bars as far apart as centimetres, as edges of their own. Their geometry never tells how far
 * apart they are: what stands beside them does, or a person.
 */
export function farApartEdges(levels: readonly Level[]): EdgeReading[] {
  const { blocks, loneBars } = rowsFarApart(levels);
  return [
    ...blocks.map((row) => unjudged(row, "blocks")),
    ...loneBars.map((row) => unjudged(row, "lone bars")),
  ];
}

function unjudged(row: GraduationRow, marks: EdgeReading["marks"]): EdgeReading {
  const half = (row.strip.band[1] - row.strip.band[0]) / 2 / row.strip.pitchPx;
  const bars = row.graduations.map(({ k }) => {
    return { k, minus: half, plus: half, minusWorn: half, plusWorn: half, strength: 1 };
  });
  return {
    row,
    lengths: { bars },
    units: [],
    judgement: { verdict: "none", division: null, doubts: [] },
    marks,
  };
}
