import type { Crop } from "./crop.ts";

export interface PolarOptions {
  readonly rays: number;
  readonly radii: number;
  readonly rounds: number;
  /** Largest step in radius from one ray to the next. */
  readonly slope: number;
  readonly edgeReward: number;
}

export const POLAR: PolarOptions = { rays: 72, radii: 64, rounds: 4, slope: 3, edgeReward: 1 };

const BINS = 10;
const CLIP = 2.5;

/**
 * Inside of a crop as a star about its middle: along each ray the radius that best parts inside from outside
 * colours, with neighbouring rays tied together, found by dynamic programming round the circle. Radii are in units
 * of the seed ellipse (`radiusX`, `radiusY`, in crop cells), so that a long box is searched as evenly as a
 * round one. Returned from the angle 0 (to the right) turning downwards.
 * @param start first guess, @param reach furthest radius, both in units of the seed
 */
export function polarPath(
  crop: Crop,
  radiusX: number,
  radiusY: number,
  start: number,
  reach: number,
  options: PolarOptions = POLAR,
): Float64Array {
  const { rays, radii } = options;
  const step = reach / radii;
  const bins = new Int32Array(rays * radii);
  const colour = new Float32Array(rays * radii * 3);
  const voids = new Uint8Array(rays * radii);
  sampleRays(crop, radiusX, radiusY, step, rays, radii, colour, voids);
  assignBins(colour, voids, bins);
  const edge = edgeAlongRays(colour, rays, radii);
  let path: Float64Array = new Float64Array(rays).fill(start / step);
  for (let round = 0; round < options.rounds; round++) {
    const evidence = colourEvidence(bins, path, rays, radii, round === 0 ? 1.6 : 1);
    const gain = cumulate(evidence, edge, voids, rays, radii, options.edgeReward);
    const next = closedPath(gain, rays, radii, options.slope);
    const same = next.every((r, k) => r === path[k]);
    path = next;
    if (same) break;
  }
  return path.map((r) => r * step);
}

function sampleRays(
  crop: Crop,
  radiusX: number,
  radiusY: number,
  step: number,
  rays: number,
  radii: number,
  colour: Float32Array,
  voids: Uint8Array,
): void {
  const { size, lab } = crop;
  for (let k = 0; k < rays; k++) {
    const dx = Math.cos((2 * Math.PI * k) / rays);
    const dy = Math.sin((2 * Math.PI * k) / rays);
    for (let r = 0; r < radii; r++) {
      const x = size / 2 + radiusX * dx * (r + 0.5) * step - 0.5;
      const y = size / 2 + radiusY * dy * (r + 0.5) * step - 0.5;
      const o = k * radii + r;
      const x0 = Math.floor(x);
      const y0 = Math.floor(y);
      if (x0 < 0 || y0 < 0 || x0 + 1 >= size || y0 + 1 >= size) {
        voids[o] = 1;
        continue;
      }
      const ax = x - x0;
      const ay = y - y0;
      const p = y0 * size + x0;
      voids[o] = crop.void[Math.round(y) * size + Math.round(x)]!;
      for (let c = 0; c < 3; c++) {
        const upper = lab[3 * p + c]! * (1 - ax) + lab[3 * (p + 1) + c]! * ax;
        const lower = lab[3 * (p + size) + c]! * (1 - ax) + lab[3 * (p + size + 1) + c]! * ax;
        colour[3 * o + c] = upper * (1 - ay) + lower * ay;
      }
    }
  }
}

/** A colour's cell in a cube spanned by the crop's own colours; -1 where there is no picture. */
function assignBins(colour: Float32Array, voids: Uint8Array, bins: Int32Array): void {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let o = 0; o < bins.length; o++) {
    if (voids[o]) continue;
    for (let c = 0; c < 3; c++) {
      low[c] = Math.min(low[c]!, colour[3 * o + c]!);
      high[c] = Math.max(high[c]!, colour[3 * o + c]!);
    }
  }
  for (let o = 0; o < bins.length; o++) {
    if (voids[o]) {
      bins[o] = -1;
      continue;
    }
    let bin = 0;
    for (let c = 0; c < 3; c++) {
      const span = Math.max(1, high[c]! - low[c]!);
      const k = Math.min(BINS - 1, Math.floor((BINS * (colour[3 * o + c]! - low[c]!)) / span));
      bin = bin * BINS + k;
    }
    bins[o] = bin;
  }
}

function edgeAlongRays(colour: Float32Array, rays: number, radii: number): Float32Array {
  const edge = new Float32Array(rays * radii);
  let sum = 0;
  for (let k = 0; k < rays; k++) {
    for (let r = 1; r + 1 < radii; r++) {
      const o = k * radii + r;
      const e = Math.hypot(
        colour[3 * o + 3]! - colour[3 * o - 3]!,
        colour[3 * o + 4]! - colour[3 * o - 2]!,
        colour[3 * o + 5]! - colour[3 * o - 1]!,
      );
      edge[o] = e;
      sum += e;
    }
  }
  const mean = sum / (rays * radii);
  if (mean > 0) for (let o = 0; o < edge.length; o++) edge[o] = Math.min(3, edge[o]! / mean);
  return edge;
}

/** Clipped log ratio of how common each cell's colour is inside against outside the present path. */
function colourEvidence(
  bins: Int32Array,
  path: Float64Array,
  rays: number,
  radii: number,
  outsideFrom: number,
): Float32Array {
  const inner = new Float32Array(BINS ** 3);
  const outer = new Float32Array(BINS ** 3);
  for (let k = 0; k < rays; k++) {
    for (let r = 0; r < radii; r++) {
      const bin = bins[k * radii + r]!;
      if (bin < 0) continue;
      if (r < path[k]!) inner[bin] = inner[bin]! + r + 0.5;
      else if (r >= outsideFrom * path[k]!) outer[bin] = outer[bin]! + r + 0.5;
    }
  }
  const a = normalised(blurCube(inner));
  const b = normalised(blurCube(outer));
  const ratio = new Float32Array(BINS ** 3);
  const floor = 1e-4;
  for (let i = 0; i < ratio.length; i++) {
    ratio[i] = Math.max(-CLIP, Math.min(CLIP, Math.log((a[i]! + floor) / (b[i]! + floor))));
  }
  const evidence = new Float32Array(rays * radii);
  for (let o = 0; o < evidence.length; o++) evidence[o] = bins[o]! < 0 ? -CLIP : ratio[bins[o]!]!;
  return evidence;
}

function normalised(histogram: Float32Array): Float32Array {
  let sum = 0;
  for (const v of histogram) sum += v;
  if (sum > 0) for (let i = 0; i < histogram.length; i++) histogram[i] = histogram[i]! / sum;
  return histogram;
}

/** Spreads each cell over its neighbours (1 2 1 along each axis), so that near colours count as alike. */
function blurCube(histogram: Float32Array): Float32Array {
  let from = histogram;
  for (const stride of [1, BINS, BINS * BINS]) {
    const to = new Float32Array(from.length);
    for (let i = 0; i < from.length; i++) {
      const k = Math.floor(i / stride) % BINS;
      const before = k > 0 ? from[i - stride]! : from[i]!;
      const after = k + 1 < BINS ? from[i + stride]! : from[i]!;
      to[i] = (before + 2 * from[i]! + after) / 4;
    }
    from = to;
  }
  return from;
}

function cumulate(
  evidence: Float32Array,
  edge: Float32Array,
  voids: Uint8Array,
  rays: number,
  radii: number,
  edgeReward: number,
): Float64Array {
  const gain = new Float64Array(rays * radii);
  for (let k = 0; k < rays; k++) {
    let sum = 0;
    for (let r = 0; r < radii; r++) {
      const o = k * radii + r;
      // The boundary lies before cell r: the colours of the cells before it are inside.
      gain[o] = sum + (voids[o] ? 0 : edgeReward * edge[o]! * (r + 0.5));
      sum += evidence[o]! * (r + 0.5);
    }
  }
  return gain;
}

/** The closed path of greatest gain, exactly: one run for each radius it may start from. */
function closedPath(gain: Float64Array, rays: number, radii: number, slope: number): Float64Array {
  // Two turns: the middle of an open path over two turns closes on itself; only its own start is then fixed.
  const start = openPath(gain, rays, radii, slope, -1, 2)[rays]!;
  return Float64Array.from(openPath(gain, rays, radii, slope, start, 1));
}

/** @param pinned radius at the first and last ray, or -1 for any */
function openPath(
  gain: Float64Array,
  rays: number,
  radii: number,
  slope: number,
  pinned: number,
  turns: number,
): Int32Array {
  const length = rays * turns + 1;
  let score = new Float64Array(radii);
  const from = new Int32Array(length * radii);
  for (let r = 1; r < radii; r++) score[r] = pinned >= 0 && r !== pinned ? -1e12 : gain[r]!;
  score[0] = -1e12;
  for (let k = 1; k < length; k++) {
    const row = (k % rays) * radii;
    const next = new Float64Array(radii);
    for (let r = 0; r < radii; r++) {
      let best = -1e15;
      let at = r;
      const last = Math.min(radii - 1, r + slope);
      for (let q = Math.max(0, r - slope); q <= last; q++) {
        if (score[q]! > best) {
          best = score[q]!;
          at = q;
        }
      }
      next[r] = r === 0 ? -1e12 : best + gain[row + r]!;
      from[k * radii + r] = at;
    }
    score = next;
  }
  let r = pinned;
  if (r < 0) {
    r = 1;
    for (let q = 1; q < radii; q++) if (score[q]! > score[r]!) r = q;
  }
  const path = new Int32Array(length);
  for (let k = length - 1; k >= 0; k--) {
    path[k] = r;
    r = from[k * radii + r]!;
  }
  return turns === 1 ? path.slice(0, rays) : path;
}
