/** A well-mixed 32-bit number for a lattice place: the same place and seed always give the same. */
export function hash2(ix: number, iy: number, seed: number): number {
  let h = Math.imul(ix, 0x27d4eb2d) ^ Math.imul(iy, 0x165667b1) ^ Math.imul(seed, 0x9e3779b1);
  h = Math.imul(h ^ (h >>> 15), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}

/** The same, 0 to 1. */
export const unit2 = (ix: number, iy: number, seed: number): number => hash2(ix, iy, seed) / 4294967296;

/** Smooth value noise, -1 to 1, one feature per unit of length. */
export function valueNoise(x: number, y: number, seed: number): number {
  const ix = Math.floor(x);
  const iy = Math.floor(y);
  const fx = x - ix;
  const fy = y - iy;
  const sx = fx * fx * fx * (fx * (fx * 6 - 15) + 10);
  const sy = fy * fy * fy * (fy * (fy * 6 - 15) + 10);
  const a = unit2(ix, iy, seed);
  const b = unit2(ix + 1, iy, seed);
  const c = unit2(ix, iy + 1, seed);
  const d = unit2(ix + 1, iy + 1, seed);
  const top = a + (b - a) * sx;
  return 2 * (top + (c + (d - c) * sx - top) * sy) - 1;
}

/** Sum of `octaves` of value noise, each half as long and `gain` as strong as the one before. */
export function fractalNoise(x: number, y: number, seed: number, octaves: number, gain = 0.5): number {
  let sum = 0;
  let weight = 1;
  let total = 0;
  for (let i = 0; i < octaves; i++) {
    sum += weight * valueNoise(x, y, seed + i * 7919);
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

/** Smallest circle of seeds: turns any seed text or number into a 31-bit number. */
export function seedOf(text: string | number): number {
  if (typeof text === "number") return hash2(Math.trunc(text), Math.trunc(text / 4294967296), 11) >>> 1;
  let h = 0x811c9dc5;
  for (const character of text) h = Math.imul(h ^ character.codePointAt(0)!, 0x01000193);
  return hash2(h, text.length, 12) >>> 1;
}

/** A seeded run of numbers 0 to 1 drawn from the lattice hash. */
export function runOf(seed: number): () => number {
  let i = 0;
  return () => unit2(i++, 0x5eed, seed);
}
