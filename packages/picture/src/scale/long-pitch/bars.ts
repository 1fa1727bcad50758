import type { Segment } from "./segments.ts";

/** Bars are narrower than this against their length. */
const MOST_WIDTH = 0.35;
/** Part of a border that its other side must face. */
const LEAST_FACING = 0.6;
const PARALLEL_COS = Math.cos((15 * Math.PI) / 180);

/** The borders that are not a side of a thin bar. */
export function withoutBars(segments: readonly Segment[]): Segment[] {
  return segments.filter((a) => !segments.some((b) => facesClosely(a, b)));
}

/** Thin bars darker (-1) or brighter (1) than their ground, as segments through their middles; `n` may point either way. */
export function barsOf(segments: readonly Segment[], polarity: -1 | 1): Segment[] {
  const bars: Segment[] = [];
  segments.forEach((a, i) => {
    for (const b of segments.slice(i + 1)) {
      if (!facesClosely(a, b) || !facesClosely(b, a)) continue;
      // From a to b: bright sides point apart on a dark bar.
      const apart = (b.x - a.x) * a.nx + (b.y - a.y) * a.ny;
      if (Math.sign(apart) !== polarity) continue;
      const [nx, ny] = [a.nx - b.nx, a.ny - b.ny];
      const norm = Math.hypot(nx, ny);
      bars.push({
        x: (a.x + b.x) / 2,
        y: (a.y + b.y) / 2,
        nx: nx / norm,
        ny: ny / norm,
        length: Math.min(a.length, b.length),
        strength: Math.min(a.strength, b.strength),
      });
    }
  });
  return bars;
}

/** Whether `b` is the other side of a bar of which `a` is one. */
function facesClosely(a: Segment, b: Segment): boolean {
  const dx = b.x - a.x;
  const dy = b.y - a.y;
  const across = Math.abs(dx * a.nx + dy * a.ny);
  if (across > MOST_WIDTH * a.length || a.nx * b.nx + a.ny * b.ny > -PARALLEL_COS) return false;
  const along = Math.abs(dy * a.nx - dx * a.ny);
  const facing = Math.min(a.length / 2, along + b.length / 2) - Math.max(-a.length / 2, along - b.length / 2);
  return facing > LEAST_FACING * a.length;
}
