import type { XY } from "../answers.ts";
import type { UprightPicture } from "../decode/picture.ts";

/** One value for every covered pixel: nothing of what was there takes part in it. */
const FILL = 0;

/**
 * Writes one solid value over the polygons, widened on every side. A pixel that a polygon touches is covered.
 * @param polygons in pixels of `picture`, outer-corner coordinates
 * @param widenPx whole pixels by which every covered pixel spreads
 * @returns the picture, and the share of it that is covered
 */
export function cover(
  picture: UprightPicture,
  polygons: readonly (readonly XY[])[],
  widenPx: number,
): { readonly picture: UprightPicture; readonly covered: number } {
  const { widthPx, heightPx } = picture;
  const touched = new Uint8Array(widthPx * heightPx);
  for (const polygon of polygons) touchInside(touched, picture, polygon);
  for (const polygon of polygons) touchEdge(touched, picture, polygon);
  const widened = widen(touched, widthPx, heightPx, widenPx);
  const rgb = Uint8Array.from(picture.rgb);
  let count = 0;
  for (let i = 0; i < widened.length; i++) {
    if (widened[i] === 0) continue;
    count++;
    rgb.fill(FILL, 3 * i, 3 * i + 3);
  }
  return { picture: { widthPx, heightPx, rgb }, covered: count / widened.length };
}

type Size = Pick<UprightPicture, "widthPx" | "heightPx">;

/** Pixels whose middle lies inside; crossings of itself count as inside, as nobody draws a hole by mistake into a mask. */
function touchInside(touched: Uint8Array, { widthPx, heightPx }: Size, polygon: readonly XY[]): void {
  for (let row = 0; row < heightPx; row++) {
    const y = row + 0.5;
    const crossings: { x: number; turn: number }[] = [];
    for (const [i, [x0, y0]] of polygon.entries()) {
      const [x1, y1] = polygon[(i + 1) % polygon.length]!;
      if (y0 <= y === y1 <= y) continue;
      crossings.push({ x: x0 + ((y - y0) * (x1 - x0)) / (y1 - y0), turn: y1 > y0 ? 1 : -1 });
    }
    crossings.sort((a, b) => a.x - b.x);
    let winding = 0;
    for (const [i, { x, turn }] of crossings.entries()) {
      winding += turn;
      const next = crossings[i + 1];
      if (winding === 0 || !next) continue;
      const from = Math.max(0, Math.floor(x));
      const to = Math.min(widthPx, Math.ceil(next.x));
      if (to > from) touched.fill(1, row * widthPx + from, row * widthPx + to);
    }
  }
}

/** Every pixel that the line from point to point passes, so that thin shapes cover as well. */
function touchEdge(touched: Uint8Array, { widthPx, heightPx }: Size, polygon: readonly XY[]): void {
  for (const [i, [x0, y0]] of polygon.entries()) {
    const [x1, y1] = polygon[(i + 1) % polygon.length]!;
    const steps = Math.max(1, Math.ceil(2 * Math.hypot(x1 - x0, y1 - y0)));
    for (let step = 0; step <= steps; step++) {
      const x = Math.floor(x0 + ((x1 - x0) * step) / steps);
      const y = Math.floor(y0 + ((y1 - y0) * step) / steps);
      if (x >= 0 && y >= 0 && x < widthPx && y < heightPx) touched[y * widthPx + x] = 1;
    }
  }
}

/** Spreads by a square: along the rows, then along the columns. */
function widen(touched: Uint8Array, widthPx: number, heightPx: number, by: number): Uint8Array {
  if (by === 0) return touched;
  const across = new Uint8Array(touched.length);
  for (let y = 0; y < heightPx; y++) {
    spreadLine(touched, across, y * widthPx, 1, widthPx, by);
  }
  const both = new Uint8Array(touched.length);
  for (let x = 0; x < widthPx; x++) {
    spreadLine(across, both, x, widthPx, heightPx, by);
  }
  return both;
}

function spreadLine(
  from: Uint8Array,
  to: Uint8Array,
  start: number,
  step: number,
  length: number,
  by: number,
): void {
  let until = -1;
  for (let ahead = 0, i = -by; i < length; i++, ahead++) {
    if (ahead < length && from[start + ahead * step] !== 0) until = ahead + by;
    if (i >= 0 && i <= until) to[start + i * step] = 1;
  }
}
