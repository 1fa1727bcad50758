import type { XY } from "../../answers.ts";
import type { Share } from "../share.ts";

/** How much of each work pixel a stroke or a drawn ring covers, 0 to 1; the size of the share it is for. */
export type Cover = Float32Array<ArrayBuffer>;

type Grid = Pick<Share, "width" | "height">;

/** Rows that a pixel is cut into; across the coverage is exact. */
const SUB_ROWS = 8;

/** What a closed ring encloses; parts it goes round more than once are inside too, as in a loop drawn past its own beginning. */
export function coverOfRing(ring: readonly XY[], { width, height }: Grid): Cover {
  const cover = new Float32Array(width * height);
  const bottom = Math.min(
    height,
    Math.ceil(ring.reduce((m, [, y]) => Math.max(m, y), Number.NEGATIVE_INFINITY)),
  );
  const top = Math.max(0, Math.floor(ring.reduce((m, [, y]) => Math.min(m, y), Number.POSITIVE_INFINITY)));
  for (let row = top; row < bottom; row++) {
    for (let s = 0; s < SUB_ROWS; s++) {
      let winding = 0;
      let from = 0;
      for (const { x, turn } of crossingsAt(ring, row + (s + 0.5) / SUB_ROWS)) {
        if (winding === 0) from = x;
        winding += turn;
        if (winding === 0) addSpan(cover, row * width, width, from, x, 1 / SUB_ROWS);
      }
    }
  }
  return cover;
}

function crossingsAt(ring: readonly XY[], y: number): { x: number; turn: 1 | -1 }[] {
  return ring
    .flatMap(([x0, y0], i) => {
      const [x1, y1] = ring[(i + 1) % ring.length]!;
      if (y0 <= y === y1 <= y) return [];
      const turn: 1 | -1 = y1 > y0 ? 1 : -1;
      return [{ x: x0 + ((y - y0) / (y1 - y0)) * (x1 - x0), turn }];
    })
    .sort((a, b) => a.x - b.x);
}

function addSpan(cover: Cover, row: number, width: number, from: number, to: number, weight: number): void {
  const left = Math.max(0, from);
  const right = Math.min(width, to);
  for (let x = Math.floor(left); x < right; x++) {
    const part = Math.min(x + 1, right) - Math.max(x, left);
    if (part > 0) cover[row + x] = Math.min(1, cover[row + x]! + weight * part);
  }
}

/** What a round brush covers on its way; its rim is a pixel wide. */
export function coverOfStroke(points: readonly XY[], radius: number, { width, height }: Grid): Cover {
  const cover = new Float32Array(width * height);
  const reach = radius + 0.5;
  points.forEach((from, i) => {
    const to = points[Math.min(i + 1, points.length - 1)]!;
    const top = Math.max(0, Math.floor(Math.min(from[1], to[1]) - reach));
    const bottom = Math.min(height, Math.ceil(Math.max(from[1], to[1]) + reach));
    const left = Math.max(0, Math.floor(Math.min(from[0], to[0]) - reach));
    const right = Math.min(width, Math.ceil(Math.max(from[0], to[0]) + reach));
    for (let y = top; y < bottom; y++) {
      for (let x = left; x < right; x++) {
        const part = Math.min(1, Math.max(0, reach - distanceToSegment(x + 0.5, y + 0.5, from, to)));
        if (part > cover[y * width + x]!) cover[y * width + x] = part;
      }
    }
  });
  return cover;
}

function distanceToSegment(x: number, y: number, [ax, ay]: XY, [bx, by]: XY): number {
  const length2 = (bx - ax) ** 2 + (by - ay) ** 2;
  const along = length2 > 0 ? ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / length2 : 0;
  const t = Math.min(1, Math.max(0, along));
  return Math.hypot(x - ax - t * (bx - ax), y - ay - t * (by - ay));
}

/** What is covered becomes inside, or outside. */
export function painted(share: Share, cover: Cover, inside: boolean): Share {
  const values = share.values.map((v, i) => (inside ? Math.max(v, cover[i]!) : Math.min(v, 1 - cover[i]!)));
  return { ...share, values };
}
