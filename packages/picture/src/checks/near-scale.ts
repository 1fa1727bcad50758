import type { ReadScale, ScaleAnswer } from "../answers.ts";
import type { Reduced } from "./reduced.ts";

/** The line on which a scale's graduations stand, px. */
export interface ScaleLine {
  readonly from: { readonly x: number; readonly y: number };
  /** Unit vector along it. */
  readonly along: { readonly x: number; readonly y: number };
  readonly lengthPx: number;
  readonly pxPerMm: number;
}

/** Bodies of hand-held scales are at most about so wide on one side of their graduations. */
const BODY_MM = 28;
/** Bare body beyond the last graduation that was read, or the other leg of an L. */
const END_MM = 28;

export function scaleLines(scale: ScaleAnswer | undefined): ScaleLine[] {
  if (!scale?.found) return [];
  return scale.scales.flatMap((one) => lineOf(one));
}

function lineOf({ ticks, pxPerMm }: ReadScale): ScaleLine[] {
  const [a, b] = [ticks[0], ticks.at(-1)];
  if (!a || !b) return [];
  const lengthPx = Math.hypot(b.x - a.x, b.y - a.y);
  if (!(lengthPx > 0)) return [];
  const along = { x: (b.x - a.x) / lengthPx, y: (b.y - a.y) / lengthPx };
  return [{ from: { x: a.x, y: a.y }, along, lengthPx, pxPerMm: pxPerMm.value }];
}

/** Where a place lies by a scale: along it from its first graduation, and to its side, both in mm. */
export function besideScale({ from, along, pxPerMm }: ScaleLine, x: number, y: number) {
  const [dx, dy] = [x - from.x, y - from.y];
  return {
    alongMm: (dx * along.x + dy * along.y) / pxPerMm,
    sideMm: (dy * along.x - dx * along.y) / pxPerMm,
  };
}

/** Cells in which a scale may lie: its body is on one side of its graduations, and nobody said on which. */
export function cellsNearScales(picture: Reduced, lines: readonly ScaleLine[]): Uint8Array {
  const near = new Uint8Array(picture.columns * picture.rows);
  for (const line of lines) {
    const lengthMm = line.lengthPx / line.pxPerMm;
    for (let i = 0; i < near.length; i++) {
      const x = ((i % picture.columns) + 0.5) * picture.cellPx;
      const y = (Math.floor(i / picture.columns) + 0.5) * picture.cellPx;
      const { alongMm, sideMm } = besideScale(line, x, y);
      if (alongMm > -END_MM && alongMm < lengthMm + END_MM && Math.abs(sideMm) < BODY_MM) near[i] = 1;
    }
  }
  return near;
}
