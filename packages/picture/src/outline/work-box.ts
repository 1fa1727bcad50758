import type { Share } from "./share.ts";
import type { WorkPicture } from "./work-picture.ts";

/** A box in work pixels, top left corner first, within the picture. */
export type WorkBox = readonly [x0: number, y0: number, x1: number, y1: number];

/** A person's box, whichever corners they began with. */
export function workBox(work: WorkPicture, [x0, y0, x1, y1]: WorkBox): WorkBox {
  return [
    Math.max(0, Math.min(x0, x1) / work.fullPerWorkX),
    Math.max(0, Math.min(y0, y1) / work.fullPerWorkY),
    Math.min(work.widthPx, Math.max(x0, x1) / work.fullPerWorkX),
    Math.min(work.heightPx, Math.max(y0, y1) / work.fullPerWorkY),
  ];
}

export const isInBox = ([x0, y0, x1, y1]: WorkBox, x: number, y: number): boolean =>
  x >= x0 && y >= y0 && x <= x1 && y <= y1;

/** Nothing beyond the box is added to `before`. */
export function withinBox(after: Share, [x0, y0, x1, y1]: WorkBox, before?: Share): Share {
  const values = after.values.slice();
  for (let y = 0; y < after.height; y++) {
    for (let x = 0; x < after.width; x++) {
      const o = y * after.width + x;
      const covered =
        Math.max(0, Math.min(x + 1, x1) - Math.max(x, x0)) *
        Math.max(0, Math.min(y + 1, y1) - Math.max(y, y0));
      values[o] = Math.min(values[o]!, Math.max(covered, before?.values[o] ?? 0));
    }
  }
  return { ...after, values };
}
