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
