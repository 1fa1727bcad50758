import { NO_DRAFT, type ToolState, xy } from "../tool.ts";

/** Each click is a step by itself. */
export const clickIdle: ToolState = {
  draft: NO_DRAFT,
  point: (at, isShifted, { inside }) => ({
    state: clickIdle,
    made: { do: "click", at: xy(at), inside: inside !== isShifted },
  }),
  cancel: () => clickIdle,
};
