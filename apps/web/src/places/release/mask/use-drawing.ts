import { useRef, useState } from "react";
import type { DragTool } from "../../../viewer/viewer.tsx";
import { boxOf, cornerNear, holds, inPicture, isBox, moved, type SizePx } from "./shapes.ts";
import { type MaskSteps, newArea, type XY } from "./use-mask.ts";

export const TOOLS = ["box", "points", "change"] as const;
export type Tool = (typeof TOOLS)[number];

/** A finger is wide: so near on the screen is meant. */
const REACH_SCREEN_PX = 16;

export interface Drawing {
  /** What is being drawn, not yet an area. */
  readonly sketch: readonly XY[];
  readonly selected: number | null;
  select(id: number | null): void;
  onPoint(xPx: number, yPx: number): void;
  /** Undefined: a drag moves the picture. */
  readonly onDrag: DragTool | undefined;
  /** Enough points to close. */
  readonly canClose: boolean;
  close(): void;
  /** Takes back the last point; false: there is none. */
  back(): boolean;
}

/** Boxes by a drag or two points, shapes point by point, and areas changed by their corners or as a whole. */
export function useDrawing(
  tool: Tool,
  kind: string,
  size: SizePx,
  steps: MaskSteps,
  scaleNow: () => number,
): Drawing {
  const [sketch, setSketch] = useState<readonly XY[]>([]);
  const [selected, select] = useState<number | null>(null);
  const drag = useRef<{
    readonly from: XY;
    readonly corner: number | null;
    readonly polygon: readonly XY[];
  } | null>(null);
  const { work, change } = steps;
  const clamp = inPicture(size);
  const chosen = work.areas.find(({ id }) => id === selected);

  function add(polygon: readonly XY[]): void {
    const area = newArea(kind, polygon);
    change({ areas: [...work.areas, area] });
    setSketch([]);
    select(area.id);
  }
  function reshape(polygon: readonly XY[], isSameStep: boolean): void {
    const areas = work.areas.map((area) => (area.id === selected ? { ...area, polygon } : area));
    change({ areas }, isSameStep);
  }

  const boxing: DragTool = {
    begin({ x, y }) {
      drag.current = { from: clamp([x, y]), corner: null, polygon: [] };
    },
    move({ x, y }) {
      if (drag.current) setSketch(boxOf(drag.current.from, clamp([x, y])));
    },
    end({ x, y }) {
      const from = drag.current?.from;
      drag.current = null;
      if (!from) return;
      const to = clamp([x, y]);
      if (isBox(from, to, scaleNow())) add(boxOf(from, to));
      else if (sketch.length > 1) setSketch([]);
    },
    cancel() {
      drag.current = null;
      setSketch([]);
    },
  };
  const changing: DragTool = {
    begin({ x, y }) {
      if (!chosen) return;
      const corner = cornerNear(chosen.polygon, [x, y], REACH_SCREEN_PX / scaleNow());
      if (corner === null && !holds(chosen.polygon, [x, y])) return;
      drag.current = { from: [x, y], corner, polygon: chosen.polygon };
      // From here on all that the pointer does is one step.
      change({});
    },
    move({ x, y }) {
      const { from, corner, polygon } = drag.current ?? {};
      if (!from || !polygon) return;
      reshape(
        corner == null
          ? moved(polygon, x - from[0], y - from[1], size)
          : polygon.map((point, i) => (i === corner ? clamp([x, y]) : point)),
        true,
      );
    },
    end() {
      drag.current = null;
    },
    cancel() {
      drag.current = null;
    },
  };

  return {
    sketch,
    selected,
    select,
    onPoint(xPx, yPx) {
      const at = clamp([xPx, yPx]);
      if (tool === "change") {
        select(work.areas.findLast(({ polygon }) => holds(polygon, at))?.id ?? null);
      } else if (tool === "box") {
        const [from] = sketch;
        if (!from) setSketch([at]);
        else if (isBox(from, at, scaleNow())) add(boxOf(from, at));
      } else if (sketch.length >= 3 && cornerNear(sketch, at, REACH_SCREEN_PX / scaleNow()) === 0) {
        add(sketch);
      } else {
        setSketch([...sketch, at]);
      }
    },
    onDrag: tool === "box" ? boxing : tool === "change" && chosen ? changing : undefined,
    canClose: tool === "points" && sketch.length >= 3,
    close: () => sketch.length >= 3 && add(sketch),
    back() {
      if (sketch.length === 0) return false;
      setSketch(tool === "points" ? sketch.slice(0, -1) : []);
      return true;
    },
  };
}
