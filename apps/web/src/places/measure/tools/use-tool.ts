import { useState } from "react";
import type { DragTool } from "../../../viewer/viewer.tsx";
import type { Next, ToolSettings, ToolState } from "./tool.ts";

/** As far from a point on the screen is still that point. */
const NEAR_SCREEN_PX = 12;

/** A tool in the hand: its state, and how the picture drives it. */
export interface ToolInHand<Made> {
  readonly state: ToolState<Made>;
  set(state: ToolState<Made>): void;
  onPoint(x: number, y: number, isShifted: boolean, screenScale: number): void;
  readonly onDrag: DragTool | undefined;
  finish(): void;
  cancel(): void;
}

export function useTool<Made>(
  begin: () => ToolState<Made>,
  settings: ToolSettings,
  onMade: (made: Made) => void,
): ToolInHand<Made> {
  const [state, set] = useState(begin);
  const take = ({ state: next, made }: Next<Made>) => {
    set(next);
    if (made !== undefined) onMade(made);
  };
  const { drag } = state;
  return {
    state,
    set: (next) => set(next),
    onPoint: (x, y, isShifted, screenScale) =>
      take(state.point({ x, y }, isShifted, { ...settings, nearPx: NEAR_SCREEN_PX / screenScale })),
    onDrag: drag && {
      begin: (at, isShifted) => set(drag.begin(at, isShifted, settings)),
      move: (at) => set((now) => now.drag?.move(at) ?? now),
      end: (at) => {
        if (state.drag) take(state.drag.end(at));
      },
      cancel: () => set((now) => now.cancel()),
    },
    finish: () => state.finish && take(state.finish(settings)),
    cancel: () => set(state.cancel()),
  };
}
