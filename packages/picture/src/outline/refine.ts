import { selfCrossingsOf } from "@samescale/geometry";
import type { XY } from "../answers.ts";
import type { UprightPicture } from "../decode/picture.ts";
import { labOf } from "./work-picture.ts";

/** All lengths in work pixels: how far the edge may move either way, and where the two sides are looked at. */
const REACH = 1;
const SIDE_FROM = 1.5;
const SIDE_TO = 3;
/** The sides' colours are means over this many places either way along the edge. */
const SIDE_PLACES = 4;
/** Steps across the edge, in pixels of the finer picture. */
const STEP_PX = 0.5;
/** Less finer than this there is nothing to gain. */
const LEAST_GAIN = 1.5;
/** L*a*b* units between the sides from which on an edge is followed in full; less draws less. */
const FULL_CONTRAST = 10;
/** Against a bend: the cost of moving by one work pixel from one place to the next. */
const STIFFNESS = 2;
const LEAST_PLACES = 24;
/** More than any evidence from the picture can outweigh. */
const FIXED = 1e6;

/**
 * The same ring placed more finely where the picture is finer than the work grid: at each place along it, across the edge,
 * where the colour is half way from that inside to that outside, tied to its neighbours by dynamic programming.
 * @param ring work pixels, clockwise for an outline
 * @param finePerWork pixels of `picture` per work pixel, across and down
 * @param isDrawn places that a hand drew: they stay where they are
 */
export function refineRing(
  ring: readonly XY[],
  picture: UprightPicture,
  finePerWork: readonly [x: number, y: number],
  isDrawn: (place: XY) => boolean,
): readonly XY[] {
  const fineness = Math.min(...finePerWork);
  if (fineness < LEAST_GAIN) return ring;
  // The ring's own points: where it was not changed they are the same as before, whatever was done elsewhere on it.
  const places = ring;
  if (places.length < LEAST_PLACES) return ring;
  const normals = normalsOf(places);
  const step = STEP_PX / fineness;
  const half = Math.round(REACH / step);
  const count = 2 * half + 1;
  const across = (k: number, t: number): readonly [number, number, number] | null => {
    const [x, y] = places[k]!;
    const [nx, ny] = normals[k]!;
    return colourAt(picture, (x + t * nx) * finePerWork[0], (y + t * ny) * finePerWork[1]);
  };
  const sides = sidesOf(places.length, across);
  const cost = new Float64Array(places.length * count);
  for (let k = 0; k < places.length; k++) {
    const { inside, axis, contrast } = sides[k]!;
    const weight = Math.min(1, contrast / FULL_CONTRAST) * step;
    const fixed = isDrawn(places[k]!);
    let sum = 0;
    for (let i = 0; i < count; i++) {
      cost[k * count + i] = fixed ? FIXED * Math.abs(i - half) : sum;
      const colour = across(k, (i - half) * step);
      // Half way and beyond costs when it is taken in, what is nearer to the inside when it is left out.
      if (colour && contrast > 0) sum += weight * (shareOf(colour, inside, axis, contrast) - 0.5);
    }
  }
  const offsets = stiffPath(cost, places.length, count, STIFFNESS * step * step);
  const moved = places.map(([x, y], k): XY => {
    const t = (offsets[k]! - half) * step;
    return [x + t * normals[k]![0], y + t * normals[k]![1]];
  });
  return selfCrossingsOf(
    moved.map(([x, y]) => ({ x, y })),
    1,
  ).length > 0
    ? ring
    : moved;
}

/** Unit normals out of a ring that turns clockwise, from neighbours two places either way so that pixels' steps do not show. */
function normalsOf(places: readonly XY[]): XY[] {
  const n = places.length;
  return places.map((_, k) => {
    const [ax, ay] = places[(k + n - 2) % n]!;
    const [bx, by] = places[(k + 2) % n]!;
    const length = Math.hypot(bx - ax, by - ay);
    return length > 0 ? [(by - ay) / length, -(bx - ax) / length] : [0, 0];
  });
}

interface Sides {
  readonly inside: readonly [number, number, number];
  /** From the colour inside to that outside. */
  readonly axis: readonly [number, number, number];
  readonly contrast: number;
}

function sidesOf(
  count: number,
  across: (k: number, t: number) => readonly [number, number, number] | null,
): Sides[] {
  // Per place: sums of the inner and the outer side, and how many samples are in them.
  const sums = Array.from({ length: count }, (_, k) => {
    const sum = [0, 0, 0, 0, 0, 0, 0, 0];
    for (let t = SIDE_FROM; t <= SIDE_TO; t += 0.5) {
      for (const [colour, o] of [[across(k, -t), 0] as const, [across(k, t), 4] as const]) {
        if (!colour) continue;
        for (let c = 0; c < 3; c++) sum[o + c] = sum[o + c]! + colour[c]!;
        sum[o + 3] = sum[o + 3]! + 1;
      }
    }
    return sum;
  });
  return sums.map((_, k) => {
    const total = [0, 0, 0, 0, 0, 0, 0, 0];
    for (let d = -SIDE_PLACES; d <= SIDE_PLACES; d++) {
      const near = sums[(k + d + count) % count]!;
      for (let i = 0; i < 8; i++) total[i] = total[i]! + near[i]!;
    }
    const mean = (o: number, c: number) => total[o + c]! / Math.max(1, total[o + 3]!);
    const inside = [mean(0, 0), mean(0, 1), mean(0, 2)] as const;
    const axis = [mean(4, 0) - inside[0], mean(4, 1) - inside[1], mean(4, 2) - inside[2]] as const;
    const isSeen = total[3]! > 0 && total[7]! > 0;
    return { inside, axis, contrast: isSeen ? Math.hypot(...axis) : 0 };
  });
}

/** How far a colour lies on the way from inside (0) to outside (1). */
function shareOf(
  colour: readonly [number, number, number],
  inside: readonly [number, number, number],
  axis: readonly [number, number, number],
  contrast: number,
): number {
  const along =
    (colour[0] - inside[0]) * axis[0] + (colour[1] - inside[1]) * axis[1] + (colour[2] - inside[2]) * axis[2];
  return Math.max(-0.5, Math.min(1.5, along / contrast ** 2));
}

const three = new Float32Array(3);

/** Bilinear in the picture's own values, then L*a*b*; null beyond the border. */
function colourAt(
  { rgb, widthPx, heightPx }: UprightPicture,
  x: number,
  y: number,
): readonly [number, number, number] | null {
  if (!(x >= 0 && y >= 0 && x <= widthPx && y <= heightPx)) return null;
  const fx = Math.min(widthPx - 1, Math.max(0, x - 0.5));
  const fy = Math.min(heightPx - 1, Math.max(0, y - 0.5));
  const x0 = Math.min(widthPx - 2, Math.floor(fx));
  const y0 = Math.min(heightPx - 2, Math.floor(fy));
  const [ax, ay] = [fx - x0, fy - y0];
  const p = 3 * (y0 * widthPx + x0);
  const q = p + 3 * widthPx;
  for (let c = 0; c < 3; c++) {
    const upper = rgb[p + c]! * (1 - ax) + rgb[p + 3 + c]! * ax;
    const lower = rgb[q + c]! * (1 - ax) + rgb[q + 3 + c]! * ax;
    three[c] = upper * (1 - ay) + lower * ay;
  }
  const lab = labOf(three);
  return [lab[0]!, lab[1]!, lab[2]!];
}

/**
 * The closed path of least cost, each step costing the square of its jump. Two turns, so that the place it starts from
 * has no say: the second turn is taken.
 */
function stiffPath(cost: Float64Array, places: number, count: number, stiffness: number): Int32Array {
  const MOST_JUMP = 4;
  const length = 2 * places;
  let score: Float64Array = Float64Array.from({ length: count }, (_, i) => cost[i]!);
  const from = new Int32Array(length * count);
  for (let k = 1; k < length; k++) {
    const row = (k % places) * count;
    const next = new Float64Array(count);
    for (let i = 0; i < count; i++) {
      let best = Number.POSITIVE_INFINITY;
      for (let j = Math.max(0, i - MOST_JUMP); j <= Math.min(count - 1, i + MOST_JUMP); j++) {
        const total = score[j]! + stiffness * (i - j) ** 2;
        if (total < best) {
          best = total;
          from[k * count + i] = j;
        }
      }
      next[i] = best + cost[row + i]!;
    }
    score = next;
  }
  let at = score.indexOf(score.reduce((a, b) => Math.min(a, b)));
  const path = new Int32Array(places);
  for (let k = length - 1; k >= places / 2; k--) {
    // The middle of the two turns: free of either end.
    if (k < places + places / 2) path[k % places] = at;
    at = from[k * count + at]!;
  }
  return path;
}
