import type { Place } from "../../../../viewer/stage.ts";
import { type ToolState, type XY, xy } from "../tool.ts";
import { brushIdle } from "./idle.ts";

/** A stroke has a point so often, in radii: it looks round, and stays short. */
const EVERY = 0.3;

/** The stroke so far; it counts when the pointer is lifted. */
export function brushPainting(points: readonly XY[], radiusPx: number, inside: boolean): ToolState {
  const [x, y] = points.at(-1)!;
  const isFar = (at: Place) => Math.hypot(at.x - x, at.y - y) > EVERY * radiusPx;
  const move = (at: Place) => brushPainting(isFar(at) ? [...points, xy(at)] : points, radiusPx, inside);
  return {
    draft: { points, line: "open", radiusPx },
    point: () => ({ state: brushIdle }),
    drag: {
      begin: move,
      move,
      // A click that did not move is told as a click as well.
      end: () =>
        points.length === 1
          ? { state: brushIdle }
          : { state: brushIdle, made: { do: "brush", points, radiusPx, inside } },
    },
    cancel: () => brushIdle,
  };
}
