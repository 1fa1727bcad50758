import type { Flat } from "./flat.ts";
import type { InkMark, InkMarks } from "./marks.ts";

/** Quarter turns clockwise that the lettering is turned by against the direction in which the graduations count. */
export type Turn = 0 | 1 | 2 | 3;

/** Side of the square in which a character is judged. */
const SIDE = 16;
const CELLS = 4;
const DIRECTIONS = 8;
const COARSE = 8;
/** Ground round the character in its square. */
const MARGIN = 1;

export const FEATURES = CELLS * CELLS * DIRECTIONS + COARSE * COARSE + 1;

/** A mark alone, without its neighbours, in the middle of a square that its longer side fills; as it lies. */
export type Patch = Float32Array;

/**
 * What the classifier sees of a mark, turned upright: directions of its edges in 4 x 4 cells, its ink in 8 x 8, its
 * shape. Directions are what lettering in different faces shares.
 * @source DalalTriggs2005
 */
export function featuresOf(lying: Patch, mark: InkMark, turn: Turn, mirrored: boolean): Float32Array {
  const patch = upright(lying, turn, mirrored);
  const features = new Float32Array(FEATURES);
  const cell = SIDE / CELLS;
  for (let y = 0; y < SIDE; y++) {
    for (let x = 0; x < SIDE; x++) {
      const gx = at(patch, x + 1, y) - at(patch, x - 1, y);
      const gy = at(patch, x, y + 1) - at(patch, x, y - 1);
      const size = Math.hypot(gx, gy);
      if (size < 1e-6) continue;
      const angle = (Math.atan2(gy, gx) / (2 * Math.PI) + 1) * DIRECTIONS;
      const low = Math.floor(angle);
      const high = angle - low;
      // Shared between the neighbouring cells and directions, so that a small shift changes little.
      const [cx, cy] = [(x + 0.5) / cell - 0.5, (y + 0.5) / cell - 0.5];
      for (const [ix, wx] of shared(cx)) {
        for (const [iy, wy] of shared(cy)) {
          const base = (iy * CELLS + ix) * DIRECTIONS;
          features[base + (low % DIRECTIONS)]! += size * wx * wy * (1 - high);
          features[base + ((low + 1) % DIRECTIONS)]! += size * wx * wy * high;
        }
      }
    }
  }
  const directions = CELLS * CELLS * DIRECTIONS;
  let norm = 0;
  for (let i = 0; i < directions; i++) norm += features[i]! ** 2;
  norm = Math.sqrt(norm) + 1e-3;
  // Root of the share: strokes of different weight come nearer to each other.
  for (let i = 0; i < directions; i++) features[i] = Math.sqrt(features[i]! / norm);
  const block = SIDE / COARSE;
  for (let y = 0; y < SIDE; y++) {
    for (let x = 0; x < SIDE; x++) {
      const i = directions + Math.floor(y / block) * COARSE + Math.floor(x / block);
      features[i]! += patch[y * SIDE + x]! / (block * block);
    }
  }
  const [width, height] = turn % 2 === 0 ? [mark.along, mark.across] : [mark.across, mark.along];
  features[FEATURES - 1] = Math.log(width / height);
  return features;
}

function shared(at: number): (readonly [number, number])[] {
  const low = Math.floor(at);
  const high = at - low;
  return (
    [
      [low, 1 - high],
      [low + 1, high],
    ] as const
  ).filter(([i, w]) => i >= 0 && i < CELLS && w > 0);
}

const at = (patch: Float32Array, x: number, y: number) =>
  patch[Math.max(0, Math.min(SIDE - 1, y)) * SIDE + Math.max(0, Math.min(SIDE - 1, x))]!;

/** Square as the patch is, turning it by quarters only changes places. */
function upright(patch: Patch, turn: Turn, mirrored: boolean): Float32Array {
  if (turn === 0 && !mirrored) return patch;
  const turned = new Float32Array(SIDE * SIDE);
  const last = SIDE - 1;
  for (let y = 0; y < SIDE; y++) {
    for (let x = 0; x < SIDE; x++) {
      const u = mirrored ? last - x : x;
      const from =
        turn === 0
          ? y * SIDE + u
          : turn === 1
            ? u * SIDE + last - y
            : turn === 2
              ? (last - y) * SIDE + last - u
              : (last - u) * SIDE + y;
      turned[y * SIDE + x] = patch[from]!;
    }
  }
  return turned;
}

export function patchOf({ columns, ink }: Flat, { labels }: InkMarks, { box, label }: InkMark): Patch {
  const side = Math.max(box.right - box.left, box.bottom - box.top) + 1;
  const step = side / (SIDE - 2 * MARGIN);
  const [mx, my] = [(box.left + box.right + 1) / 2, (box.top + box.bottom + 1) / 2];
  // Ink of soft edges belongs to the mark as well; what belongs to another mark does not.
  const inkAt = (c: number, r: number): number => {
    if (c < box.left - 1 || c > box.right + 1 || r < box.top - 1 || r > box.bottom + 1) return 0;
    const i = r * columns + c;
    const of = labels[i];
    return of === label || of === 0 ? Math.min(1, ink[i] ?? 0) : 0;
  };
  const patch = new Float32Array(SIDE * SIDE);
  const parts = Math.max(1, Math.min(4, Math.ceil(step)));
  for (let y = 0; y < SIDE; y++) {
    for (let x = 0; x < SIDE; x++) {
      let sum = 0;
      for (let j = 0; j < parts; j++) {
        for (let i = 0; i < parts; i++) {
          const dx = (x + (i + 0.5) / parts - SIDE / 2) * step;
          const dy = (y + (j + 0.5) / parts - SIDE / 2) * step;
          sum += bilinear(inkAt, mx + dx, my + dy);
        }
      }
      patch[y * SIDE + x] = sum / (parts * parts);
    }
  }
  return patch;
}

function bilinear(inkAt: (c: number, r: number) => number, x: number, y: number): number {
  const [c, r] = [Math.floor(x - 0.5), Math.floor(y - 0.5)];
  const [fx, fy] = [x - 0.5 - c, y - 0.5 - r];
  const top = inkAt(c, r) * (1 - fx) + inkAt(c + 1, r) * fx;
  const bottom = inkAt(c, r + 1) * (1 - fx) + inkAt(c + 1, r + 1) * fx;
  return top * (1 - fy) + bottom * fy;
}
