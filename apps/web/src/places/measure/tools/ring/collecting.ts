import type { Place } from "../../../../viewer/stage.ts";
import { type Next, type ToolSettings, type ToolState, type XY, xy } from "../tool.ts";

/** `rim`: the line follows the edge from point to point; `draw`: it runs straight, as the person says. */
export type RingKind = "rim" | "draw";

const LEAST_POINTS = 3;
/** A line drawn by hand has a point so often, picture px: as fine as outlines are found. */
const FREEHAND_PX = 4;

/** Points are collected round the region; the line closes when the person says so, or points at the first again. */
export function ringCollecting(kind: RingKind, points: readonly XY[] = []): ToolState {
  const within = (at: Place, [x, y]: XY, px: number) => Math.hypot(at.x - x, at.y - y) <= px;
  const collect = (at: Place): ToolState => ringCollecting(kind, [...points, xy(at)]);
  const finish = ({ inside }: ToolSettings): Next =>
    points.length < LEAST_POINTS
      ? { state: ringCollecting(kind, points) }
      : { state: ringCollecting(kind), made: { do: kind, points, inside } };
  return {
    draft: { points, line: kind === "draw" && points.length >= LEAST_POINTS ? "closed" : "open" },
    point(at, _isShifted, settings) {
      const first = points[0];
      // On the first point again, which is drawn as large as a fingertip is sure of.
      if (first && points.length >= LEAST_POINTS && within(at, first, 2 * FREEHAND_PX))
        return finish(settings);
      return { state: collect(at) };
    },
    ...(kind === "draw" && {
      drag: {
        begin: collect,
        move: (at: Place) =>
          within(at, points.at(-1)!, FREEHAND_PX) ? ringCollecting(kind, points) : collect(at),
        end: () => ({ state: ringCollecting(kind, points) }),
      },
    }),
    cancel: () => ringCollecting(kind),
    finish,
    withPoints: (changed) => ringCollecting(kind, changed),
  };
}
