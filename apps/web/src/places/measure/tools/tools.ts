import { boxIdle } from "./box/idle.ts";
import { brushIdle } from "./brush/idle.ts";
import { clickIdle } from "./click/idle.ts";
import { ringCollecting } from "./ring/collecting.ts";
import type { ToolState } from "./tool.ts";

export const TOOLS = ["click", "box", "rim", "brush", "draw"] as const;
export type ToolName = (typeof TOOLS)[number];

/** As each tool begins. */
export const enter: Readonly<Record<ToolName, () => ToolState>> = {
  click: () => clickIdle,
  box: () => boxIdle,
  rim: () => ringCollecting("rim"),
  brush: () => brushIdle,
  draw: () => ringCollecting("draw"),
};

/** Pressed anywhere in the place. */
export const toolKeys: Readonly<Record<ToolName, string>> = {
  click: "c",
  box: "b",
  rim: "e",
  brush: "p",
  draw: "d",
};
