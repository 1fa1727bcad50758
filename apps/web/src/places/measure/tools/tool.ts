import type { OutlineStep } from "@samescale/picture/outline";
import type { Place } from "../../../viewer/stage.ts";

export type XY = readonly [x: number, y: number];

/** What a tool shows of what is not done yet, in upright picture px. */
export interface Draft {
  readonly points: readonly XY[];
  /** Joined by lines, in this order; closed: back to the first. */
  readonly line: "none" | "open" | "closed";
  /** Of a brush at its points. */
  readonly radiusPx?: number;
}

export const NO_DRAFT: Draft = { points: [], line: "none" };

/** How the person set the tools. */
export interface ToolSettings {
  /** Whether what is pointed at belongs to the region. Shift says the opposite for one time. */
  readonly inside: boolean;
  readonly brushPx: number;
  /** As far from a point is still that point, picture px; left out: not at all. */
  readonly nearPx?: number;
}

/** What came of it: the state that follows, and a step where one is done. */
export interface Next<Made = OutlineStep> {
  readonly state: ToolState<Made>;
  readonly made?: Made;
}

/** One state of a tool: what pointer and keys do to it. Nothing is changed in place. */
export interface ToolState<Made = OutlineStep> {
  readonly draft: Draft;
  /** A click, a tap, or Enter with the cross. */
  point(at: Place, isShifted: boolean, settings: ToolSettings): Next<Made>;
  /** Where a drag draws; else it moves the picture. */
  readonly drag?: {
    begin(at: Place, isShifted: boolean, settings: ToolSettings): ToolState<Made>;
    move(at: Place): ToolState<Made>;
    end(at: Place): Next<Made>;
  };
  /** Escape, or a second finger: what was begun is none. */
  cancel(): ToolState<Made>;
  /** Where points are collected until the person says that these are all. */
  finish?(settings: ToolSettings): Next<Made>;
  /** Collected points after the person changed them by hand. */
  withPoints?(points: readonly XY[]): ToolState<Made>;
}

export const xy = ({ x, y }: Place): XY => [round(x), round(y)];
/** A hundredth of a pixel: nobody points closer, and steps are kept as text. */
const round = (v: number) => Math.round(100 * v) / 100;
