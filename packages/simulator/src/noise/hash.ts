/** A well-mixed 32-bit number for a lattice place: the same place and seed always give the same. */
export function hash2(ix: number, iy: number, seed: number): number {
  let h = Math.imul(ix, 0x27d4eb2d) ^ Math.imul(iy, 0x165667b1) ^ Math.imul(seed, 0x9e3779b1);
  h = Math.imul(h ^ (h >>> 15), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}

/** The same, 0 to 1. */
export const unit2 = (ix: number, iy: number, seed: number): number => hash2(ix, iy, seed) / 4294967296;

const DIRECTIONS = 64;
const GX = Float64Array.from(
  { length: DIRECTIONS },
  (_, i) => 1.55 * Math.cos((2 * Math.PI * i) / DIRECTIONS),
);
const GY = Float64Array.from(
  { length: DIRECTIONS },
  (_, i) => 1.55 * Math.sin((2 * Math.PI * i) / DIRECTIONS),
);

/**
 * Smooth noise, about -1 to 1, one feature per unit of length: slopes in random directions at the lattice places,
 * blended between them, so that no lattice shows. @source Perlin2002
 */
export function smoothNoise(x: number, y: number, seed: number): number {
  const ix = Math.floor(x);
  const iy = Math.floor(y);
  const fx = x - ix;
  const fy = y - iy;
  const sx = fx * fx * fx * (fx * (fx * 6 - 15) + 10);
  const sy = fy * fy * fy * (fy * (fy * 6 - 15) + 10);
  const ha = hash2(ix, iy, seed) & 63;
  const hb = hash2(ix + 1, iy, seed) & 63;
  const hc = hash2(ix, iy + 1, seed) & 63;
  const hd = hash2(ix + 1, iy + 1, seed) & 63;
  const a = GX[ha]! * fx + GY[ha]! * fy;
  const b = GX[hb]! * (fx - 1) + GY[hb]! * fy;
  const c = GX[hc]! * fx + GY[hc]! * (fy - 1);
  const d = GX[hd]! * (fx - 1) + GY[hd]! * (fy - 1);
  const top = a + (b - a) * sx;
  return top + (c + (d - c) * sx - top) * sy;
}

/** Sum of `octaves` of noise, each half as long and `gain` as strong as the one before. */
export function fractalNoise(x: number, y: number, seed: number, octaves: number, gain = 0.5): number {
  let sum = 0;
  let weight = 1;
  let total = 0;
  for (let i = 0; i < octaves; i++) {
    sum += weight * smoothNoise(x, y, seed + i * 7919);
    total += weight;
    weight *= gain;
    // A turn between octaves hides the lattice.
    const nx = (x * 0.8 - y * 0.6) * 2;
    y = (x * 0.6 + y * 0.8) * 2;
    x = nx;
  }
  return sum / total;
}

export function smoothstep(from: number, to: number, x: number): number {
  const t = Math.min(1, Math.max(0, (x - from) / (to - from)));
  return t * t * (3 - 2 * t);
}
