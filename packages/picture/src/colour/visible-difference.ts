import type { Lab } from "./delta-e00.ts";

/** By how much differences count at one reference colour, and the direction of its hue. */
export interface Visibility {
  readonly lightness: number;
  readonly chroma: number;
  readonly hue: number;
  readonly cos: number;
  readonly sin: number;
}

/**
 * By how much a difference in lightness, chroma and hue counts at a reference colour: the weights of CIEDE2000
 * without its rotation for blue. @source SharmaWuDalal2005
 */
export function visibility([l, a, b]: Lab): Visibility {
  const c = Math.hypot(a, b);
  const h = Math.atan2(b, a);
  const t =
    1 -
    0.17 * Math.cos(h - Math.PI / 6) +
    0.24 * Math.cos(2 * h) +
    0.32 * Math.cos(3 * h + Math.PI / 30) -
    0.2 * Math.cos(4 * h - (63 * Math.PI) / 180);
  return {
    lightness: 1 / (1 + (0.015 * (l - 50) ** 2) / Math.sqrt(20 + (l - 50) ** 2)),
    chroma: 1 / (1 + 0.045 * c),
    hue: 1 / (1 + 0.015 * c * t),
    cos: Math.cos(h),
    sin: Math.sin(h),
  };
}

/** Three numbers whose squares add up to about the squared difference that the eye sees: smooth, for least squares. */
export function visibleDifference(seen: Lab, wanted: Lab, by: Visibility): [number, number, number] {
  const [da, db] = [seen[1] - wanted[1], seen[2] - wanted[2]];
  return [
    (seen[0] - wanted[0]) * by.lightness,
    (da * by.cos + db * by.sin) * by.chroma,
    (db * by.cos - da * by.sin) * by.hue,
  ];
}
