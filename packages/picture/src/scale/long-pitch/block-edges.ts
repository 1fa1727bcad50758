import type { EdgeReading } from "../edge-reading.ts";
import type { Level } from "../search/pyramid.ts";
import { blockRows } from "./find-rows.ts";

/** Alternating blocks as edges of their own. Their geometry never tells how long a block is. */
export function blockEdges(levels: readonly Level[]): EdgeReading[] {
  return blockRows(levels).map((row) => {
    const half = (row.strip.band[1] - row.strip.band[0]) / 2 / row.strip.pitchPx;
    const bars = row.graduations.map(({ k }) => {
      return { k, minus: half, plus: half, minusWorn: half, plusWorn: half, strength: 1 };
    });
    return {
      row,
      lengths: { bars },
      units: [],
      judgement: { verdict: "none", division: null, doubts: [] },
      marks: "blocks",
    };
  });
}
