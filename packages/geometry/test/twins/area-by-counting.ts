import type { Point, Region, Ring } from "../../src/index.ts";

/** Even-odd rule in its plainest form, for points in general position. */
export function isInsideByRay(ring: Ring, p: Point): boolean {
  let inside = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const [a, b] = [ring[i]!, ring[j]!];
    if (a.y > p.y !== b.y > p.y && p.x < ((b.x - a.x) * (p.y - a.y)) / (b.y - a.y) + a.x) inside = !inside;
  }
  return inside;
}

/** Area, centroid and second moments by counting the centres of small squares that lie inside. */
export function momentsByCounting(region: Region, step: number) {
  const xs = region.outline.map((p) => p.x);
  const ys = region.outline.map((p) => p.y);
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  let [n, x, y, xx, xy, yy] = [0, 0, 0, 0, 0, 0];
  for (let cy = top + step / 2; cy < Math.max(...ys); cy += step) {
    for (let cx = left + step / 2; cx < Math.max(...xs); cx += step) {
      const p = { x: cx, y: cy };
      if (!isInsideByRay(region.outline, p) || region.holes.some((hole) => isInsideByRay(hole, p))) continue;
      n += 1;
      x += cx;
      y += cy;
      xx += cx * cx;
      xy += cx * cy;
      yy += cy * cy;
    }
  }
  const [mx, my] = [x / n, y / n];
  return {
    area: n * step * step,
    centroid: { x: mx, y: my },
    xx: xx / n - mx * mx,
    xy: xy / n - mx * my,
    yy: yy / n - my * my,
  };
}
