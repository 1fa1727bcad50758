import { NO_DRAFT, type ToolState } from "../tool.ts";
import { boxStretching } from "./stretching.ts";

/** Waits for the first corner: where a drag begins, or a click. */
export const boxIdle: ToolState = {
  draft: NO_DRAFT,
  point: (at) => ({ state: boxStretching(at, at) }),
  drag: {
    begin: (at) => boxStretching(at, at),
    move: () => boxIdle,
    end: () => ({ state: boxIdle }),
  },
  cancel: () => boxIdle,
};
