import { HALF, TILE, type TileSpectrum } from "./tile-spectrum.ts";

/** A direction in which a tile repeats. */
export interface Peak {
  /** Unit vector across the bars. */
  readonly ux: number;
  readonly uy: number;
  readonly pitchPx: number;
  /** Share of what lies in this direction that the first three harmonics hold. */
  readonly comb: number;
  /** Share of the tile's energy that the peak holds. */
  readonly share: number;
  /** Energy of the peak against what the other directions hold that are as fast. */
  readonly prominence: number;
}

export interface PitchRange {
  readonly leastPitchPx: number;
  readonly mostPitchPx: number;
}

/** A tile may hold a body edge and two rows of ticks. */
const MOST_PEAKS = 3;
/** Bins round a peak and its second harmonic that belong to it. */
const PEAK_WIDTH = 2.5;
/** Bins: a Hann window spreads a line over about this. */
const LINE_WIDTH = 1.3;
/** Share of what lies in their direction that the harmonics must hold; random texture leaves them a quarter. */
const LEAST_COMB_SHARE = 0.35;
const LEAST_PEAK_SHARE = 0.012;
/** The strongest of a texture's few hundred bins stands out by about three, a row of faint ticks by eight. */
const LEAST_PROMINENCE = 4;
/** Frequencies nearer than this part, and a bin, are as fast. */
const AS_FAST = 0.15;
/** Bins round a peak into which its window leaks. */
const LEAKS = 3;
/** Bins: slower than 25 px is shading; the fastest that a tile can tell. */
const SLOWEST = 2.5;
const FASTEST = 31;

const binOf = (kx: number, ky: number) => (kx < 0 ? -kx * TILE + (-ky & 63) : kx * TILE + (ky & 63));

/** Finds the peaks of one spectrum after the other; what only depends on the range is worked out once. */
export function peakFinder(range: PitchRange): (spectrum: TileSpectrum) => Peak[] {
  const ring = ringOf(range);
  /** Bins that belong to a peak of this tile bear the tile's number. */
  const taken = new Uint32Array(HALF * TILE);
  let tile = 0;

  /** The strongest frequency in the ring of wanted pitches that belongs to none before, refined to a part of a bin. */
  function strongest(power: Float64Array) {
    let most = 0;
    let best = -1;
    for (let i = 0; i < ring.length; i++) {
      const bin = ring[i]!;
      const e = power[bin]!;
      if (e <= most || taken[bin] === tile) continue;
      most = e;
      best = bin;
    }
    if (best < 0) return null;
    const bx = best >> 6;
    const by = (best & 63) > TILE / 2 ? (best & 63) - TILE : best & 63;
    let energy = 0;
    let mx = 0;
    let my = 0;
    for (let dx = -1; dx <= 1; dx++) {
      for (let dy = -1; dy <= 1; dy++) {
        const e = power[binOf(bx + dx, by + dy)]!;
        energy += e;
        mx += e * dx;
        my += e * dy;
      }
    }
    return { fx: bx + mx / energy, fy: by + my / energy, energy };
  }

  /** Near the frequency or its second harmonic, on either side of the origin. */
  function take(fx: number, fy: number): void {
    for (const m of [1, 2, -1, -2]) {
      for (
        let kx = Math.max(0, Math.ceil(m * fx - PEAK_WIDTH));
        kx < m * fx + PEAK_WIDTH && kx < HALF;
        kx++
      ) {
        for (let ky = Math.ceil(m * fy - PEAK_WIDTH); ky < m * fy + PEAK_WIDTH; ky++) {
          if (Math.hypot(kx - m * fx, ky - m * fy) < PEAK_WIDTH && Math.abs(ky) < TILE / 2)
            taken[binOf(kx, ky)] = tile;
        }
      }
    }
  }

  return ({ power, energy }) => {
    tile++;
    const peaks: Peak[] = [];
    for (let n = 0; n < MOST_PEAKS; n++) {
      const peak = strongest(power);
      if (!peak) break;
      take(peak.fx, peak.fy);
      const share = peak.energy / energy();
      if (share < LEAST_PEAK_SHARE) break; // the next ones are weaker still
      const f = Math.hypot(peak.fx, peak.fy);
      const [ux, uy] = [peak.fx / f, peak.fy / f];
      const prominence = peak.energy / 9 / meanAsFast(power, peak.fx, peak.fy);
      if (prominence < LEAST_PROMINENCE) continue;
      const comb = combShare(power, ux, uy, f);
      if (comb >= LEAST_COMB_SHARE) peaks.push({ ux, uy, pitchPx: TILE / f, comb, share, prominence });
    }
    return peaks;
  };
}

/** Bins whose pitch is wanted; of the column without horizontal frequency one half, as the other mirrors it. */
function ringOf({ leastPitchPx, mostPitchPx }: PitchRange): Uint16Array {
  const inner = TILE / mostPitchPx;
  const outer = Math.min(TILE / leastPitchPx, FASTEST);
  const reach = Math.ceil(outer);
  const bins: number[] = [];
  for (let kx = 0; kx <= reach; kx++) {
    for (let ky = kx === 0 ? 0 : -reach; ky <= reach; ky++) {
      const f = Math.hypot(kx, ky);
      if (f >= inner && f <= outer) bins.push(binOf(kx, ky));
    }
  }
  return Uint16Array.from(bins);
}

/** Energy per bin in the ring of a frequency, without the peak itself. */
function meanAsFast(power: Float64Array, fx: number, fy: number): number {
  const f = Math.hypot(fx, fy);
  const inner = (1 - AS_FAST) * f - 1;
  const outer = Math.min((1 + AS_FAST) * f + 1, FASTEST);
  let sum = 0;
  let count = 0;
  for (let kx = 0; kx <= outer; kx++) {
    const most = Math.floor(Math.sqrt(outer * outer - kx * kx));
    const least = kx < inner ? Math.sqrt(inner * inner - kx * kx) : 0;
    for (let ky = Math.ceil(least); ky <= most; ky++) {
      for (const y of ky === 0 ? [0] : [ky, -ky]) {
        const near = Math.min((kx - fx) ** 2 + (y - fy) ** 2, (kx + fx) ** 2 + (y + fy) ** 2);
        if (near < LEAKS * LEAKS) continue;
        sum += power[kx * TILE + (y & 63)]!;
        count++;
      }
    }
  }
  return sum / count;
}

/** Share of the energy in a direction that the first three harmonics of `f` hold. */
function combShare(power: Float64Array, ux: number, uy: number, f: number): number {
  let slice = 0;
  let comb = 0;
  const add = (kx: number, ky: number) => {
    const length = Math.abs(kx * ux + ky * uy);
    if (length < SLOWEST || length > FASTEST) return;
    const e = power[kx * TILE + (ky & 63)]!;
    slice += e;
    const m = Math.round(length / f);
    if (m >= 1 && m <= 3 && Math.abs(length - m * f) <= LINE_WIDTH) comb += e;
  };
  // Along the steeper axis, so that each step has a few bins beside the line.
  if (Math.abs(ux) > Math.abs(uy)) {
    for (let kx = 0; kx < HALF; kx++) {
      const middle = (kx * uy) / ux;
      const half = LINE_WIDTH / Math.abs(ux);
      const to = Math.min(FASTEST, Math.floor(middle + half));
      for (let ky = Math.max(-FASTEST, Math.ceil(middle - half)); ky <= to; ky++) add(kx, ky);
    }
  } else {
    for (let ky = -FASTEST; ky <= FASTEST; ky++) {
      const middle = (ky * ux) / uy;
      const half = LINE_WIDTH / Math.abs(uy);
      const to = Math.min(HALF - 1, Math.floor(middle + half));
      for (let kx = Math.max(0, Math.ceil(middle - half)); kx <= to; kx++) add(kx, ky);
    }
  }
  return slice > 0 ? comb / slice : 0;
}
