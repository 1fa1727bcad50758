import { hash2, unit2 } from "../noise/hash.ts";

/** A square piece of skin relief that joins to itself: heights in 0.1 mm, about -1 to 1. */
interface Relief {
  readonly height: Float32Array;
}

/** Texels a side, and per mm: 25.6 mm of skin before it repeats; two laid over each other hardly ever do. */
export const TILE = 1024;
export const TILE_PER_MM = 40;

const reliefs = new Map<number, Relief>();

function reliefOf(seed: number): Relief {
  const known = reliefs.get(seed);
  if (known) return known;
  const made = { height: makeHeights(seed) };
  reliefs.set(seed, made);
  return made;
}

/** Plates between furrows (two sizes), pores, fine grain. */
function makeHeights(seed: number): Float32Array {
  const out = new Float32Array(TILE * TILE);
  addPlates(out, seed, 26, 0.62, 1.35);
  addPlates(out, seed + 1, 61, 0.3, 1.15);
  addPores(out, seed + 2, 420);
  for (let i = 0; i < out.length; i++) out[i] = out[i]! + (unit2(i, 3, seed) - 0.5) * 0.1;
  return out;
}

/** Adds a net of furrows round jittered cells; `stretch` lengthens the plates in one direction, as on limbs. */
function addPlates(out: Float32Array, seed: number, cells: number, depth: number, stretch: number): void {
  const rows = Math.round(cells * stretch);
  const sizeX = TILE / cells;
  const sizeY = TILE / rows;
  const px = new Float32Array(cells * rows);
  const py = new Float32Array(cells * rows);
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < cells; i++) {
      px[j * cells + i] = 0.15 + 0.7 * unit2(i, j, seed);
      py[j * cells + i] = 0.15 + 0.7 * unit2(i, j, seed + 101);
    }
  }
  for (let y = 0; y < TILE; y++) {
    const cy = y / sizeY;
    const jy = Math.floor(cy);
    for (let x = 0; x < TILE; x++) {
      const cx = x / sizeX;
      const ix = Math.floor(cx);
      let near = 9;
      let next = 9;
      for (let dj = -1; dj <= 1; dj++) {
        const j = (jy + dj + rows) % rows;
        for (let di = -1; di <= 1; di++) {
          const k = j * cells + ((ix + di + cells) % cells);
          const ex = ix + di + px[k]! - cx;
          const ey = jy + dj + py[k]! - cy;
          const d = ex * ex + ey * ey;
          if (d < near) {
            next = near;
            near = d;
          } else if (d < next) next = d;
        }
      }
      const edge = Math.sqrt(next) - Math.sqrt(near);
      const wall = edge < 0.32 ? 1 - edge / 0.32 : 0;
      out[y * TILE + x] = out[y * TILE + x]! + depth * (0.35 - wall * wall);
    }
  }
}

function addPores(out: Float32Array, seed: number, count: number): void {
  for (let p = 0; p < count; p++) {
    const cx = hash2(p, 1, seed) % TILE;
    const cy = hash2(p, 2, seed) % TILE;
    const radius = 2.2 + 2.4 * unit2(p, 3, seed);
    const reach = Math.ceil(radius * 2.2);
    for (let dy = -reach; dy <= reach; dy++) {
      for (let dx = -reach; dx <= reach; dx++) {
        const k = ((cy + dy) & (TILE - 1)) * TILE + ((cx + dx) & (TILE - 1));
        out[k] = out[k]! - 0.8 * Math.exp(-(dx * dx + dy * dy) / (radius * radius));
      }
    }
  }
}

/**
 * The relief as lit from one side: slopes towards the light brighten, hollows darken. `lightX`, `lightY`: direction
 * towards the light in the tile's own axes, its length the strength of the slope shading. At level k the tile has
 * TILE / 2^k texels a side.
 */
export function litRelief(seed: number, lightX: number, lightY: number, level: number): Float32Array {
  const { height } = reliefOf(seed);
  let lit = new Float32Array(TILE * TILE);
  const kx = lightX * 0.15;
  const ky = lightY * 0.15;
  for (let y = 0; y < TILE; y++) {
    const up = ((y - 1) & (TILE - 1)) * TILE;
    const down = ((y + 1) & (TILE - 1)) * TILE;
    const here = y * TILE;
    for (let x = 0; x < TILE; x++) {
      const dx = height[here + ((x + 1) & (TILE - 1))]! - height[here + ((x - 1) & (TILE - 1))]!;
      const dy = height[down + x]! - height[up + x]!;
      lit[here + x] = 0.1 * height[here + x]! - kx * dx - ky * dy;
    }
  }
  for (let k = 0; k < level; k++) lit = halved(lit);
  return lit;
}

function halved(from: Float32Array): Float32Array<ArrayBuffer> {
  const size = Math.sqrt(from.length);
  const half = size / 2;
  const out = new Float32Array(half * half);
  for (let y = 0; y < half; y++) {
    for (let x = 0; x < half; x++) {
      const k = 2 * y * size + 2 * x;
      out[y * half + x] = (from[k]! + from[k + 1]! + from[k + size]! + from[k + size + 1]!) / 4;
    }
  }
  return out;
}
