import { contains, type Point } from "@samescale/geometry";
import type { XY } from "../truth/truth.ts";

/** Where a person would click to have a region outlined: twice inside, twice outside, upright px. */
export interface Clicks {
  readonly inside: readonly XY[];
  readonly outside: readonly XY[];
}

const GRID = 40;

/** Clicks from the true outline: the place deepest inside, the next deepest apart from it, two beyond the rim. */
export function clicksOf(outlinePx: readonly XY[]): Clicks {
  const ring: Point[] = outlinePx.map(([x, y]) => ({ x, y }));
  const xs = outlinePx.map(([x]) => x);
  const ys = outlinePx.map(([, y]) => y);
  const [left, right] = [Math.min(...xs), Math.max(...xs)];
  const [top, bottom] = [Math.min(...ys), Math.max(...ys)];
  const deep: { at: XY; depth: number }[] = [];
  for (let j = 0; j <= GRID; j++) {
    for (let i = 0; i <= GRID; i++) {
      const at: XY = [left + ((right - left) * i) / GRID, top + ((bottom - top) * j) / GRID];
      if (contains({ outline: ring, holes: [] }, { x: at[0], y: at[1] }))
        deep.push({ at, depth: distance(at, outlinePx) });
    }
  }
  deep.sort((a, b) => b.depth - a.depth);
  const first = deep[0]!;
  const apart = deep.find(({ at, depth }) => {
    const away = Math.hypot(at[0] - first.at[0], at[1] - first.at[1]);
    return away > first.depth * 0.8 && depth > first.depth * 0.35;
  });
  const [cx, cy] = first.at;
  // Beyond the rim by a good part of the size, along the two ends of the longer side.
  const reach = Math.max(right - left, bottom - top) * 0.32;
  const wide = right - left > bottom - top;
  const outside: XY[] = wide
    ? [
        [left - reach, cy],
        [right + reach, cy],
      ]
    : [
        [cx, top - reach],
        [cx, bottom + reach],
      ];
  return { inside: [first.at, ...(apart ? [apart.at] : [])].map(rounded), outside: outside.map(rounded) };
}

const rounded = ([x, y]: XY): XY => [Math.round(x * 2) / 2, Math.round(y * 2) / 2];

const distance = ([x, y]: XY, outline: readonly XY[]): number =>
  Math.min(...outline.map(([ox, oy]) => Math.hypot(ox - x, oy - y)));
