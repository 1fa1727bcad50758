import { type ToolState, type XY, xy } from "../tool.ts";

/** Two points on the scale, by hand. */
export type Pair = readonly [XY, XY];

/** After two points a third begins anew; the pair is told each time that it is whole. */
export function pairCollecting(points: readonly XY[] = []): ToolState<Pair> {
  return {
    draft: { points, line: "open" },
    point(at) {
      const [first] = points;
      if (points.length !== 1 || !first) return { state: pairCollecting([xy(at)]) };
      const pair: Pair = [first, xy(at)];
      return { state: pairCollecting(pair), made: pair };
    },
    cancel: () => pairCollecting(),
    withPoints: (changed) => pairCollecting(changed),
  };
}
