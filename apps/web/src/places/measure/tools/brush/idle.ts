import { NO_DRAFT, type ToolState, xy } from "../tool.ts";
import { brushPainting } from "./painting.ts";

/** A click is a dab; a drag paints. */
export const brushIdle: ToolState = {
  draft: NO_DRAFT,
  point: (at, isShifted, { inside, brushPx }) => ({
    state: brushIdle,
    made: { do: "brush", points: [xy(at)], radiusPx: brushPx, inside: inside !== isShifted },
  }),
  drag: {
    begin: (at, isShifted, { inside, brushPx }) => brushPainting([xy(at)], brushPx, inside !== isShifted),
    move: () => brushIdle,
    end: () => ({ state: brushIdle }),
  },
  cancel: () => brushIdle,
};
