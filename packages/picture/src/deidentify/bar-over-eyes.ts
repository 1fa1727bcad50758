import type { XY } from "../answers.ts";
import { inPolygon, type MaskArea } from "./mask-area.ts";

/** A face is taller than it is wide; what is this much wider than tall covers a part of it. */
const BAR_ASPECT = 1.8;
/** A grid over a known face: how much of it all areas cover together. */
const GRID = 24;
const WHOLE_FACE = 0.7;
/** Height of the eyes within a face, from its top. */
const EYES = { from: 0.2, to: 0.6 };

const WHY =
  "masking the eye region is inadequate protection of anonymity (ICMJE): hair, scars, moles and clothing identify as well. Cover the whole face with hair and ears, or do not show it";

/**
 * Why an area is refused as a bar over the eyes; null when it is none. By what the person says it is for, by its shape,
 * and against the faces that were found or drawn.
 * @param kind as the person says, also what is no kind of mask: "eyes"
 * @param faces boxes of faces, as polygons
 * @source IcmjeAma2011
 */
export function barOverEyes(
  kind: string,
  area: readonly XY[],
  all: readonly MaskArea[],
  faces: readonly (readonly XY[])[],
): string | null {
  if (kind === "eyes") return `A bar over the eyes is no mask: ${WHY}`;
  const box = boxOf(area);
  if (kind === "face" && box.x1 - box.x0 >= BAR_ASPECT * (box.y1 - box.y0)) {
    return `This is a bar, not a face: ${WHY}`;
  }
  for (const face of faces) {
    const { x0, y0, x1, y1 } = boxOf(face);
    const height = y1 - y0;
    const acrossEyes =
      box.y0 < y0 + EYES.to * height && box.y1 > y0 + EYES.from * height && box.x1 > x0 && box.x0 < x1;
    if (!acrossEyes) continue;
    if (shareCovered(x0, y0, x1, y1, all) < WHOLE_FACE)
      return `This covers the eyes of a face and leaves the rest: ${WHY}`;
  }
  return null;
}

function shareCovered(x0: number, y0: number, x1: number, y1: number, areas: readonly MaskArea[]): number {
  let inside = 0;
  for (let row = 0; row < GRID; row++) {
    for (let column = 0; column < GRID; column++) {
      const at: XY = [x0 + ((column + 0.5) * (x1 - x0)) / GRID, y0 + ((row + 0.5) * (y1 - y0)) / GRID];
      if (areas.some(({ polygon }) => inPolygon(polygon, at))) inside++;
    }
  }
  return inside / GRID ** 2;
}

function boxOf(polygon: readonly XY[]): { x0: number; y0: number; x1: number; y1: number } {
  const xs = polygon.map(([x]) => x);
  const ys = polygon.map(([, y]) => y);
  return { x0: Math.min(...xs), y0: Math.min(...ys), x1: Math.max(...xs), y1: Math.max(...ys) };
}
