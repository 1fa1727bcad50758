import type { XY } from "./use-mask.ts";

export interface SizePx {
  readonly widthPx: number;
  readonly heightPx: number;
}

export const boxOf = ([ax, ay]: XY, [bx, by]: XY): readonly XY[] => {
  const [x0, x1] = [Math.min(ax, bx), Math.max(ax, bx)];
  const [y0, y1] = [Math.min(ay, by), Math.max(ay, by)];
  return [
    [x0, y0],
    [x1, y0],
    [x1, y1],
    [x0, y1],
  ];
};

const within = (value: number, most: number): number => Math.min(most, Math.max(0, value));

export const inPicture =
  ({ widthPx, heightPx }: SizePx) =>
  ([x, y]: XY): XY => [within(x, widthPx), within(y, heightPx)];

/** Moved as a whole, as far as the edge of the picture. */
export function moved(polygon: readonly XY[], dx: number, dy: number, size: SizePx): readonly XY[] {
  const xs = polygon.map(([x]) => x);
  const ys = polygon.map(([, y]) => y);
  const free = (by: number, values: readonly number[], most: number) =>
    Math.min(most - Math.max(...values), Math.max(-Math.min(...values), by));
  const [fx, fy] = [free(dx, xs, size.widthPx), free(dy, ys, size.heightPx)];
  return polygon.map(([x, y]) => [x + fx, y + fy]);
}

/** Wider or higher by so many pixels, about its middle; never smaller than a few. */
export function resized(polygon: readonly XY[], dw: number, dh: number, size: SizePx): readonly XY[] {
  const axis = (values: readonly number[], by: number): ((value: number) => number) => {
    const [low, high] = [Math.min(...values), Math.max(...values)];
    const middle = (low + high) / 2;
    const times = Math.max(LEAST_PX, high - low + by) / Math.max(1, high - low);
    return (value) => middle + (value - middle) * times;
  };
  const x = axis(
    polygon.map(([px]) => px),
    dw,
  );
  const y = axis(
    polygon.map(([, py]) => py),
    dh,
  );
  return polygon.map(([px, py]) => inPicture(size)([x(px), y(py)]));
}

const LEAST_PX = 8;

/** A box that is smaller than this on the screen was a click. */
export const isBox = ([ax, ay]: XY, [bx, by]: XY, scale: number): boolean =>
  Math.abs(bx - ax) * scale > 6 && Math.abs(by - ay) * scale > 6;

/** Whether a point lies in it, by how often a ray crosses its edge. */
export function holds(polygon: readonly XY[], [x, y]: XY): boolean {
  let isIn = false;
  for (const [i, [ax, ay]] of polygon.entries()) {
    const [bx, by] = polygon.at(i - 1)!;
    if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) isIn = !isIn;
  }
  return isIn;
}

/** Which of its corners is near; null: none. */
export function cornerNear(polygon: readonly XY[], [x, y]: XY, reachPx: number): number | null {
  const near = polygon.findIndex(([cx, cy]) => Math.hypot(cx - x, cy - y) <= reachPx);
  return near < 0 ? null : near;
}
