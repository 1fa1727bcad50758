import type { BackdropSeen, Judged } from "../look-answer.ts";
import { countOf, eroded, grown, medianOf, quantileOf } from "./cells.ts";
import { fitLight, type SmoothLight, stopsOf } from "./fit-light.ts";
import type { FrameParts } from "./parts-of-frame.ts";
import type { Reduced } from "./reduced.ts";

/** Less of the frame than this says nothing of a cloth. */
const LEAST_SHARE = 0.03;
const CLEAR_OF_EDGE = 2;
/** Stops by which the channels' ratios may differ from the cloth's own: what differs more is a thing laid on it. */
const SAME_COLOUR = 0.25;

/** The cloth's cells, clear of the subject, of things that lie on it and of scales. */
export function backdropCells(picture: Reduced, parts: FrameParts, nearScales: Uint8Array): number[] {
  const inner = eroded(parts.backdrop, picture, CLEAR_OF_EDGE);
  const all: number[] = [];
  inner.forEach((v, i) => {
    if (v && !nearScales[i]) all.push(i);
  });
  const { linear } = picture;
  const ratio = (i: number, of: number) =>
    Math.log2((linear[3 * i + of]! + 2e-3) / (linear[3 * i + 1]! + 2e-3));
  const [red, blue] = [0, 2].map((of) => medianOf(all.map((i) => ratio(i, of))));
  return all.filter(
    (i) => Math.abs(ratio(i, 0) - red!) < SAME_COLOUR && Math.abs(ratio(i, 2) - blue!) < SAME_COLOUR,
  );
}

/** What is behind the subject. */
export function backdropSeen(
  picture: Reduced,
  parts: FrameParts | null,
  nearScales: Uint8Array,
): Judged<BackdropSeen> {
  if (!parts) return { judged: false, why: "No skin is seen: what is backdrop cannot be told." };
  const cells = backdropCells(picture, parts, nearScales);
  const n = picture.columns * picture.rows;
  if (cells.length < LEAST_SHARE * n)
    return { judged: false, why: "Hardly any backdrop of one colour is seen." };
  const stops = stopsOf(picture.luminance);
  const smooth = fitLight(stops, cells, picture, 2);
  if (!smooth) return { judged: false, why: "Too little backdrop is seen to tell its light." };
  const fitted = cells.map((i) => smooth.at(i));
  const shadow = shadowBeside(stops, parts, picture);
  return {
    judged: true,
    share: countOf(parts.backdrop) / n,
    lab: [0, 1, 2].map((c) => medianOf(cells.map((i) => picture.lab[3 * i + c]!))) as [
      number,
      number,
      number,
    ],
    unevennessStops: quantileOf(fitted, 0.95) - quantileOf(fitted, 0.05),
    creases: creasesOf(stops, cells, smooth, picture),
    shadowStops: shadow.stops,
    shadowTowardsDeg: shadow.towardsDeg,
  };
}

/** A stop is a factor of two: so much of a small relative change. */
const PER_STOP = Math.LN2;

/**
 * What departs from the smooth light. Cells beside each other differ by noise alone, folds reach further: half the mean
 * square of the differences is the noise, and is taken off.
 */
function creasesOf(
  stops: Float32Array,
  cells: readonly number[],
  smooth: SmoothLight,
  { columns }: Reduced,
): number {
  const left = new Float32Array(stops.length).fill(Number.NaN);
  for (const i of cells) left[i] = stops[i]! - smooth.at(i);
  const middle = medianOf(cells.map((i) => left[i]!));
  let [sum, noise, pairs] = [0, 0, 0];
  for (const i of cells) {
    sum += (left[i]! - middle) ** 2;
    const apart = (i + 1) % columns === 0 ? Number.NaN : left[i]! - left[i + 1]!;
    if (Number.isNaN(apart)) continue;
    noise += apart ** 2 / 2;
    pairs++;
  }
  const variance = sum / cells.length - (pairs > 0 ? noise / pairs : 0);
  return PER_STOP * Math.sqrt(Math.max(0, variance));
}

/** Directions in which a shadow is looked for, and how far from the subject, cells. */
const DIRECTIONS = 12;
const REACH = 34;
const BAND = 4;
/** Nearer to the subject than this its own soft edge is seen. */
const NEAREST = 5;
/** Rays that a profile must rest on. */
const LEAST_RAYS = 12;
const NOTEWORTHY = 0.05;

/**
 * A shadow of the subject has the subject's own shape, moved: from the subject's edge outwards in the direction of the move
 * the cloth is dark first, and then turns bright all along. The largest such turn of the mean profile of all directions.
 */
function shadowBeside(stops: Float32Array, { subject, backdrop }: FrameParts, { columns, rows }: Reduced) {
  let best = { stops: 0, towardsDeg: null as number | null };
  const close = grown(subject, { columns, rows }, 2);
  for (let k = 0; k < DIRECTIONS; k++) {
    const angle = (2 * Math.PI * k) / DIRECTIONS;
    // Steps of the ray, rounded to cells once for all rays.
    const dx = Array.from({ length: REACH }, (_, d) => Math.round((d + 1) * Math.cos(angle)));
    const dy = Array.from({ length: REACH }, (_, d) => Math.round((d + 1) * Math.sin(angle)));
    const rays: number[][] = [];
    for (let y = 0, i = 0; y < rows; y++) {
      for (let x = 0; x < columns; x++, i++) {
        if (!subject[i] || subject[i + dy[0]! * columns + dx[0]!] === 1) continue;
        const ray = rayFrom(x, y, dx, dy);
        if (ray.length >= NEAREST + 2 * BAND) rays.push(ray);
      }
    }
    if (rays.length < LEAST_RAYS) continue;
    const turn = largestTurn(rays);
    if (turn > best.stops) best = { stops: turn, towardsDeg: (angle * 180) / Math.PI };
  }
  return best.stops >= NOTEWORTHY ? best : { stops: best.stops, towardsDeg: null };

  /** Light on the cloth from the subject's edge on; nothing where cloth does not begin there. */
  function rayFrom(x: number, y: number, dx: readonly number[], dy: readonly number[]): number[] {
    const ray: number[] = [];
    for (let d = 0; d < REACH; d++) {
      const [u, v] = [x + dx[d]!, y + dy[d]!];
      if (u < 0 || v < 0 || u >= columns || v >= rows) break;
      const j = v * columns + u;
      // A ray that runs along the edge stays in the edge's own softness.
      if (d === NEAREST - 1 && close[j]) return [];
      if (backdrop[j]) ray.push(stops[j]!);
      else if (subject[j] || ray.length > 0 || d > 1) break;
    }
    return ray;
  }
}

function largestTurn(rays: readonly (readonly number[])[]): number {
  // Sums from the edge on, so that the mean of any band is one difference.
  const sums = rays.map((ray) => {
    const sum = new Float64Array(ray.length + 1);
    for (let d = 0; d < ray.length; d++) sum[d + 1] = sum[d]! + ray[d]!;
    return sum;
  });
  let best = 0;
  for (let d = NEAREST; d + BAND <= REACH; d++) {
    const turns: number[] = [];
    for (const sum of sums)
      if (d + BAND < sum.length) turns.push((sum[d + BAND]! - 2 * sum[d]! + sum[d - BAND]!) / BAND);
    if (turns.length < LEAST_RAYS || turns.length < 0.5 * rays.length) continue;
    best = Math.max(best, quantileOf(turns, 0.35));
  }
  return best;
}
