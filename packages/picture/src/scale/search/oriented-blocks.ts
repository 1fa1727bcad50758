import { TILE } from "./tile-spectrum.ts";

/**
 * Which tiles could hold ticks at all. The gradient of a row of bars has one direction, and the row runs along it, where
 * that of an edge or a hair runs across. Blocks of 8 px (the length of the shortest ticks that can be read) whose
 * structure tensor is coherent are put down by direction, by place across it and by place along it; flat ground, isotropic
 * texture and single lines are skipped before the costly spectrum.
 * @source Bigun1987
 */
const BLOCK = 8;
const PER_TILE = TILE / BLOCK;
/** White noise over 48 px reaches a coherence of about 0.17 and seldom twice that. */
const COHERENT = 0.45;
/** Coded units squared per pixel: ticks of a third of the clipping contrast in a quarter of the block. */
const LEAST_ENERGY = 0.02;
const DIRECTIONS = 12;
/** Places across or along a direction, in blocks: the tile's diagonal. */
const PLACES = Math.ceil(PER_TILE * Math.SQRT2);

/** For two neighbouring directions and a block of the tile: its place across and along the direction between them. */
const ACROSS = placeOf((x, y, angle) => y * Math.cos(angle) - x * Math.sin(angle));
const ALONG = placeOf((x, y, angle) => x * Math.cos(angle) + y * Math.sin(angle));

function placeOf(place: (x: number, y: number, angle: number) => number): Uint8Array {
  return Uint8Array.from({ length: DIRECTIONS * PER_TILE * PER_TILE }, (_, i) => {
    const block = i % (PER_TILE * PER_TILE);
    const angle = ((Math.floor(i / (PER_TILE * PER_TILE)) + 1) / DIRECTIONS - 0.5) * Math.PI;
    const x = (block % PER_TILE) - (PER_TILE - 1) / 2;
    const y = Math.floor(block / PER_TILE) - (PER_TILE - 1) / 2;
    return Math.floor(place(x, y, angle) + PLACES / 2);
  });
}

export interface OrientedBlocks {
  /** Looks at a band of `TILE` coded rows, which has moved down by `movedPx` since the last look. */
  look(coded: Float32Array, movedPx: number): void;
  /**
   * Of the tile at x0: places along a strip two blocks wide that hold a block whose direction is the strip's within 15
   * degrees. Ticks cross a tile in eight.
   */
  agreement(x0: number): number;
}

export function orientedBlocks(width: number): OrientedBlocks {
  const columns = Math.floor(width / BLOCK);
  const direction = new Int8Array(columns * PER_TILE);
  /** For each direction and place across it, the places along it that agree, one bit each. */
  const agreeing = new Uint16Array(DIRECTIONS * PLACES);

  /** Direction of the gradient in one block, in steps of 15 degrees; -1 where there is none. */
  function directionOf(coded: Float32Array, x0: number, y0: number): number {
    let xx = 0;
    let yy = 0;
    let xy = 0;
    const from = Math.max(1, x0);
    const to = Math.min(width - 1, x0 + BLOCK);
    for (let y = y0 + 1; y < y0 + BLOCK - 1; y++) {
      for (let i = y * width + from, end = y * width + to; i < end; i++) {
        const gx = coded[i + 1]! - coded[i - 1]!;
        const gy = coded[i + width]! - coded[i - width]!;
        xx += gx * gx;
        yy += gy * gy;
        xy += gx * gy;
      }
    }
    const sum = xx + yy;
    if (sum < LEAST_ENERGY * BLOCK * (BLOCK - 2)) return -1;
    const difference = xx - yy;
    const cross = 2 * xy;
    if (difference * difference + cross * cross < COHERENT * COHERENT * sum * sum) return -1;
    const turn = Math.atan2(cross, difference) / (2 * Math.PI) + 0.5; // half-angle: 0 to 1 covers 180 degrees
    return Math.floor(turn * DIRECTIONS) % DIRECTIONS;
  }

  return {
    look(coded, movedPx) {
      const kept = movedPx < TILE && movedPx % BLOCK === 0 ? (TILE - movedPx) / BLOCK : 0;
      direction.copyWithin(0, (PER_TILE - kept) * columns);
      for (let r = kept; r < PER_TILE; r++) {
        for (let c = 0; c < columns; c++)
          direction[r * columns + c] = directionOf(coded, c * BLOCK, r * BLOCK);
      }
    },
    agreement(x0) {
      agreeing.fill(0);
      const c0 = Math.min(Math.floor(x0 / BLOCK), columns - PER_TILE);
      for (let block = 0; block < PER_TILE * PER_TILE; block++) {
        const d = direction[(block >> 3) * columns + c0 + (block & 7)]!;
        if (d < 0) continue;
        putDown(d, block);
        putDown((d + DIRECTIONS - 1) % DIRECTIONS, block);
      }
      let most = 0;
      for (let i = 0; i + 1 < agreeing.length; i++) {
        if ((i + 1) % PLACES !== 0) most = Math.max(most, bits(agreeing[i]! | agreeing[i + 1]!));
      }
      return most;
    },
  };

  function putDown(direction: number, block: number): void {
    const at = direction * PER_TILE * PER_TILE + block;
    agreeing[direction * PLACES + ACROSS[at]!]! |= 1 << ALONG[at]!;
  }
}

function bits(mask: number): number {
  let n = 0;
  for (let rest = mask; rest !== 0; rest &= rest - 1) n++;
  return n;
}
