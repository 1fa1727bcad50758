import type { Place } from "../../../../viewer/stage.ts";
import { type Next, type ToolState, xy } from "../tool.ts";
import { boxIdle } from "./idle.ts";

/** A box of less is a click that slipped. */
const LEAST_PX = 8;

/** One corner is known, the other follows the pointer; or waits for a second click. */
export function boxStretching(from: Place, to: Place): ToolState {
  const done = (at: Place): Next => {
    const box = [
      Math.min(from.x, at.x),
      Math.min(from.y, at.y),
      Math.max(from.x, at.x),
      Math.max(from.y, at.y),
    ];
    const [x0, y0, x1, y1] = box.map(Math.round) as [number, number, number, number];
    if (x1 - x0 < LEAST_PX || y1 - y0 < LEAST_PX) return { state: boxStretching(from, from) };
    return { state: boxIdle, made: { do: "box", box: [x0, y0, x1, y1] } };
  };
  return {
    draft: {
      points: [xy(from), xy({ x: to.x, y: from.y }), xy(to), xy({ x: from.x, y: to.y })],
      line: "closed",
    },
    point: done,
    drag: {
      begin: (at) => boxStretching(from, at),
      move: (at) => boxStretching(from, at),
      end: done,
    },
    cancel: () => boxIdle,
  };
}
