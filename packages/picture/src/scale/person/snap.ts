import type { Point } from "@samescale/geometry";
import type { GreyPicture } from "../../decode/picture.ts";
import { greyAt } from "../edge/sample.ts";

/** A mark across the line between two points: a thin bar, or an edge between dark and light. */
export interface Mark {
  readonly kind: "bar" | "edge";
  readonly at: Point;
  /** Standard uncertainty along the line, px. */
  readonly u: number;
}

const STEP_PX = 0.5;
/** Averaged to both sides across the line. */
const HALF_WIDTH_PX = 3;
/** A mark stands out from what is usual on the line by this factor. */
const STANDS_OUT = 4;
/** Grey levels, after averaging seven pixels. */
const LEAST_CONTRAST = 8;

/** The one mark within `reachPx` of `p` along the line to `other`; null when there is none, or no single one. */
export function snapToMark(picture: GreyPicture, p: Point, other: Point, reachPx: number): Mark | null {
  const length = Math.hypot(other.x - p.x, other.y - p.y);
  const ux = (other.x - p.x) / length;
  const uy = (other.y - p.y) / length;
  const count = Math.ceil(reachPx / STEP_PX);
  const grey: number[] = [];
  for (let i = -count - 4; i <= count + 4; i++) {
    let sum = 0;
    for (let j = -HALF_WIDTH_PX; j <= HALF_WIDTH_PX; j++) {
      const at = { x: p.x + i * STEP_PX * ux - j * uy, y: p.y + i * STEP_PX * uy + j * ux };
      sum += greyAt({ ...picture, scale: 1 }, at);
    }
    grey.push(sum / (2 * HALF_WIDTH_PX + 1));
  }
  if (grey.some(Number.isNaN)) return null;
  const sorted = [...grey].sort((a, b) => a - b);
  const [low, middle, high] = [sorted[0]!, sorted[sorted.length >> 1]!, sorted.at(-1)!];
  const at = (i: number): Point => {
    const d = (i - count - 4) * STEP_PX;
    return { x: p.x + d * ux, y: p.y + d * uy };
  };
  // A bar: most of the line is ground, to one side of the extremes.
  for (const sign of [-1, 1] as const) {
    const height = sign === -1 ? middle - low : high - middle;
    const rest = sign === -1 ? high - middle : middle - low;
    if (height < LEAST_CONTRAST || height < STANDS_OUT * rest) continue;
    const weights = grey.map((v) => Math.max(0, sign * (v - middle) - 0.4 * height));
    const sum = weights.reduce((a, b) => a + b, 0);
    const centre = weights.reduce((a, w, i) => a + w * i, 0) / sum;
    const spread = Math.sqrt(weights.reduce((a, w, i) => a + w * (i - centre) ** 2, 0) / sum) * STEP_PX;
    if (spread > reachPx / 3) continue; // more than one bar, or a patch
    return { kind: "bar", at: at(centre), u: 0.3 };
  }
  return edgeOf(grey, low, high, at);
}

/** One crossing of the half height, from flat to flat. */
function edgeOf(grey: readonly number[], low: number, high: number, at: (i: number) => Point): Mark | null {
  if (high - low < 3 * LEAST_CONTRAST) return null;
  const half = 0.5 * (low + high);
  const crossings: number[] = [];
  for (let i = 0; i + 1 < grey.length; i++) {
    const [a, b] = [grey[i]! - half, grey[i + 1]! - half];
    if (a * b < 0) crossings.push(i + a / (a - b));
  }
  return crossings.length === 1 ? { kind: "edge", at: at(crossings[0]!), u: 0.5 } : null;
}
