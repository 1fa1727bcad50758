import type { Strip } from "../raster/strip.ts";

/** Lays `top` over `base` where both are; premultiplied. */
export function compositeOver(base: Strip, top: Strip): void {
  const left = Math.max(base.x0, top.x0);
  const right = Math.min(base.x0 + base.width, top.x0 + top.width);
  const first = Math.max(base.y0, top.y0);
  const last = Math.min(base.y0 + base.height, top.y0 + top.height);
  for (let y = first; y < last; y++) {
    let p = (y - base.y0) * base.width + left - base.x0;
    let q = (y - top.y0) * top.width + left - top.x0;
    for (let x = left; x < right; x++, p++, q++) {
      const cover = top.a[q]!;
      if (cover === 0) continue;
      const keep = 1 - cover;
      base.r[p] = base.r[p]! * keep + top.r[q]!;
      base.g[p] = base.g[p]! * keep + top.g[q]!;
      base.b[p] = base.b[p]! * keep + top.b[q]!;
      base.a[p] = base.a[p]! * keep + cover;
    }
  }
}
