import type { GreyPicture } from "../decode/picture.ts";

/** A place where grey turns fastest, and over which width. */
export interface EdgePlace {
  /** Standard deviation of the bell that would make such an edge of a step, full-size px. */
  readonly sigmaPx: number;
  /** How fast, grey levels a pixel of the level at which it was seen. */
  readonly slope: number;
  /** Direction of the turn, degrees 0 to 180. */
  readonly acrossDeg: number;
}

export interface Tile {
  readonly left: number;
  readonly top: number;
  readonly side: number;
}

/** Smoothed a little and a little more: how much the slope loses tells how wide the edge was before. */
const FINE = 1;
const COARSE = 2;
/** The difference of two neighbours but one is a slope seen through a box two cells wide, of variance 1/3. */
const FINE_2 = FINE ** 2 + 1 / 3;
const COARSE_2 = COARSE ** 2 + 1 / 3;
/** Slopes below so many deviations of the noise are noise. */
const OVER_NOISE = 6;
/** Steps smaller than this, grey levels, are what lossy coding makes at its blocks. */
const LEAST_STEP = 5;

/**
 * Edges in a tile of the picture, halved `level` times. An ideal step that the lens spread by σ has, smoothed by a bell of s,
 * the slope A / sqrt(2π (σ² + s²)) at its middle; the ratio of two such slopes gives σ. @source ZhuoSim2011
 */
export function edgesIn(picture: GreyPicture, tile: Tile, level: number): EdgePlace[] {
  const size = tile.side >> level;
  if (size <= 2 * REACH) return [];
  const grey = tileGrey(picture, tile, level, size);
  const fine = smoothed(grey, size, FINE);
  const coarse = smoothed(grey, size, COARSE);
  const slopes = new Float32Array(size * size);
  const margin = 6;
  const within: number[] = [];
  for (let y = margin; y < size - margin; y++) {
    for (let x = margin; x < size - margin; x++) {
      const i = y * size + x;
      slopes[i] = Math.hypot(fine[i + 1]! - fine[i - 1]!, fine[i + size]! - fine[i - size]!) / 2;
      if ((x & 3) === 0 && (y & 3) === 0) within.push(slopes[i]!);
    }
  }
  const least = Math.max(
    OVER_NOISE * noiseOf(within),
    LEAST_STEP / Math.sqrt(2 * Math.PI * (FINE_2 + COARSE ** 2)),
  );
  const places: { readonly at: number; readonly slope: number }[] = [];
  for (let y = REACH; y < size - REACH; y++) {
    for (let x = REACH; x < size - REACH; x++) {
      const i = y * size + x;
      const slope = slopes[i]!;
      if (slope < least) continue;
      const [gx, gy] = gradientAt(fine, size, i);
      const step = stepAlong(gx, gy, size);
      if (slope >= slopes[i - step]! && slope > slopes[i + step]!) places.push({ at: i, slope });
    }
  }
  places.sort((a, b) => b.slope - a.slope);
  return places.slice(0, MOST_PLACES).flatMap(({ at, slope }) => {
    const [gx, gy] = gradientAt(fine, size, at);
    const slower = Math.hypot(...gradientAt(coarse, size, at));
    const partner = oppositeBeside(fine, size, at, gx / slope, gy / slope, slope);
    const sigma = partner === null ? sigmaOfStep(slope / slower) : sigmaOfLine(slope / slower, partner);
    if (slope * Math.sqrt(2 * Math.PI * (sigma * sigma + FINE_2)) < LEAST_STEP) return [];
    const deg = (Math.atan2(gy, gx) * 180) / Math.PI;
    return [{ sigmaPx: sigma * 2 ** level, slope, acrossDeg: (deg + 360) % 180 }];
  });
}

/** The strongest of a tile are enough to judge by. */
const MOST_PLACES = 250;
/** How far beside a slope the opposite one of a line is looked for; places nearer to the tile's border are left out. */
const REACH = 11;
/** The other side of a line has at least this share of the slope. */
const OPPOSITE = 0.5;
/** Wider than any lens is judged by at one level. */
const WIDEST = 30;

function gradientAt(grey: Float32Array, size: number, i: number): [x: number, y: number] {
  return [(grey[i + 1]! - grey[i - 1]!) / 2, (grey[i + size]! - grey[i - size]!) / 2];
}

/** To the neighbouring cell in the direction of the turn. */
function stepAlong(gx: number, gy: number, size: number): number {
  if (Math.abs(gx) > 2.4 * Math.abs(gy)) return 1;
  if (Math.abs(gy) > 2.4 * Math.abs(gx)) return size;
  return gx * gy > 0 ? size + 1 : size - 1;
}

/** Distance to the nearest opposite slope on either side along the turn: the other edge of a line. Null: a step. */
function oppositeBeside(
  grey: Float32Array,
  size: number,
  at: number,
  ux: number,
  uy: number,
  slope: number,
): number | null {
  const along = (k: number): number =>
    slopeAt(grey, size, (at % size) + k * ux, Math.floor(at / size) + k * uy, ux, uy);
  const own = peakOffset(along(-1), along(0), along(1));
  let best: number | null = null;
  for (const side of [-1, 1]) {
    let before = -along(side);
    let here = -along(2 * side);
    for (let k = 2; k < REACH - 2; k++) {
      const next = -along((k + 1) * side);
      if (here > OPPOSITE * slope && here >= before && here > next) {
        const apart = k + peakOffset(before, here, next) - side * own;
        best = best === null ? apart : Math.min(best, apart);
        break;
      }
      [before, here] = [here, next];
    }
  }
  return best;
}

/** Slope in a direction at a place between cells. */
function slopeAt(grey: Float32Array, size: number, x: number, y: number, ux: number, uy: number): number {
  const [i, j] = [Math.floor(x), Math.floor(y)];
  const [u, v] = [x - i, y - j];
  let sum = 0;
  for (const [dx, dy, weight] of [
    [0, 0, (1 - u) * (1 - v)],
    [1, 0, u * (1 - v)],
    [0, 1, (1 - u) * v],
    [1, 1, u * v],
  ] as const) {
    if (weight === 0) continue;
    const [gx, gy] = gradientAt(grey, size, (j + dy) * size + i + dx);
    sum += weight * (gx * ux + gy * uy);
  }
  return sum;
}

/** Where between three neighbours the highest place of a parabola through them lies, from the middle one. */
function peakOffset(before: number, here: number, next: number): number {
  const bend = 2 * here - before - next;
  return bend <= 0 ? 0 : Math.max(-0.5, Math.min(0.5, (next - before) / (2 * bend)));
}

/** A step: the ratio of the slopes is sqrt((σ² + coarse²) / (σ² + fine²)). */
function sigmaOfStep(ratio: number): number {
  const squared = ratio * ratio;
  if (squared <= 1.002) return WIDEST;
  return Math.min(WIDEST, Math.sqrt(Math.max(0, (COARSE_2 - squared * FINE_2) / (squared - 1))));
}

const bell = (x: number): number => Math.exp((-x * x) / 2);

/**
 * A line of any width 2a, seen with the spread s: its slopes are steepest at ±x with a = x tanh(a x / s²), where their sum's
 * derivative is zero. From x as measured, s settles a, and the ratio of the two slopes at x settles s.
 */
function sigmaOfLine(ratio: number, apart: number): number {
  const x = apart / 2;
  const ratioFor = (s: number): number => {
    let a = x;
    for (let k = 0; k < 30; k++) a = x * Math.tanh((a * x) / (s * s));
    const b = Math.sqrt(s * s + COARSE_2 - FINE_2);
    const slope = (spread: number) =>
      a < 0.05 * spread
        ? ((2 * x) / spread ** 3) * bell(x / spread)
        : (bell((x - a) / spread) - bell((x + a) / spread)) / a / spread;
    return slope(s) / slope(b);
  };
  let [low, high] = [Math.sqrt(FINE_2), Math.max(Math.sqrt(FINE_2), x)];
  if (ratioFor(low) <= ratio) return 0;
  for (let k = 0; k < 12; k++) {
    const middle = (low + high) / 2;
    if (ratioFor(middle) > ratio) low = middle;
    else high = middle;
  }
  return Math.sqrt(Math.max(0, low * low - FINE_2));
}

/** A fifth of the slopes are no more than noise makes: of a Rayleigh distribution a fifth lies below 0.668 deviations. */
function noiseOf(slopes: readonly number[]): number {
  const sorted = Float32Array.from(slopes).sort();
  return (sorted[Math.floor(sorted.length / 5)] ?? 0) / 0.668;
}

function tileGrey(
  { grey, widthPx }: GreyPicture,
  { left, top }: Tile,
  level: number,
  size: number,
): Float32Array {
  const out = new Float32Array(size * size);
  const step = 1 << level;
  const share = 1 / (step * step);
  for (let y = 0, i = 0; y < size; y++) {
    for (let x = 0; x < size; x++, i++) {
      let sum = 0;
      for (let v = 0; v < step; v++) {
        const at = (top + y * step + v) * widthPx + left + x * step;
        for (let u = 0; u < step; u++) sum += grey[at + u]!;
      }
      out[i] = sum * share;
    }
  }
  return out;
}

function smoothed(grey: Float32Array, size: number, sigma: number): Float32Array {
  const reach = Math.ceil(2.5 * sigma);
  const weights = Float32Array.from({ length: reach + 1 }, (_, k) =>
    Math.exp((-k * k) / (2 * sigma * sigma)),
  );
  const total = weights.reduce((sum, v, k) => sum + (k === 0 ? v : 2 * v), 0);
  for (let k = 0; k <= reach; k++) weights[k] = weights[k]! / total;
  const along = new Float32Array(grey.length);
  const out = new Float32Array(grey.length);
  pass(grey, along, size, 1, size, weights);
  pass(along, out, size, size, 1, weights);
  return out;
}

/** Places nearer to the tile's border than the bell reaches stay 0: they are not looked at. */
function pass(
  from: Float32Array,
  to: Float32Array,
  size: number,
  step: number,
  lineStep: number,
  weights: Float32Array,
) {
  const reach = weights.length - 1;
  for (let line = 0; line < size; line++) {
    for (let k = reach; k < size - reach; k++) {
      const i = line * lineStep + k * step;
      let sum = weights[0]! * from[i]!;
      for (let r = 1; r <= reach; r++) sum += weights[r]! * (from[i - r * step]! + from[i + r * step]!);
      to[i] = sum;
    }
  }
}
