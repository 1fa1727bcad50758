/**
 * Power spectrum of a real 64 x 64 tile under a Hann window. Radix-4 butterflies over precomputed twiddles; two
 * real rows share one complex transform. Scratch arrays are made once, as a search looks at thousands of tiles.
 */
export const TILE = 64;
/** Columns of the spectrum: frequencies 0 to 32 across; the other half mirrors them. */
export const HALF = 33;

export interface TileSpectrum {
  /** `power[kx * 64 + ky]`, ky counted 0 to 63 (above 32 negative). Overwritten by each call. */
  readonly power: Float64Array;
  /** Sum of `power` without the mean and the slowest shading. */
  energy(): number;
  /** Transforms the tile whose top left pixel is x0, y0. */
  transform(image: Float32Array, width: number, x0: number, y0: number): void;
}

export function createTileSpectrum(): TileSpectrum {
  const re = new Float64Array(TILE);
  const im = new Float64Array(TILE);
  const columnsRe = new Float64Array(HALF * TILE);
  const columnsIm = new Float64Array(HALF * TILE);
  const power = new Float64Array(HALF * TILE);
  let total = 0;
  const hann = Float64Array.from(
    { length: TILE },
    (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / TILE),
  );

  function rows(image: Float32Array, width: number, x0: number, y0: number): void {
    for (let y = 0; y < TILE; y += 2) {
      const a = (y0 + y) * width + x0;
      const b = a + width;
      const wa = hann[y]!;
      const wb = hann[y + 1]!;
      for (let x = 0; x < TILE; x++) {
        const w = hann[x]!;
        re[x] = image[a + x]! * wa * w;
        im[x] = image[b + x]! * wb * w;
      }
      fft64(re, im, 0);
      for (let k = 0; k < HALF; k++) {
        const p = REVERSED[k]!;
        const q = REVERSED[(TILE - k) & 63]!;
        const at = k * TILE + y;
        columnsRe[at] = 0.5 * (re[p]! + re[q]!);
        columnsIm[at] = 0.5 * (im[p]! - im[q]!);
        columnsRe[at + 1] = 0.5 * (im[p]! + im[q]!);
        columnsIm[at + 1] = 0.5 * (re[q]! - re[p]!);
      }
    }
  }

  return {
    power,
    energy() {
      let slow = 0;
      for (let kx = 0; kx < 2; kx++) for (const ky of [0, 1, TILE - 1]) slow += power[kx * TILE + ky]!;
      return total - slow;
    },
    transform(image, width, x0, y0) {
      rows(image, width, x0, y0);
      total = 0;
      for (let k = 0; k < HALF; k++) {
        const at = k * TILE;
        fft64(columnsRe, columnsIm, at);
        for (let ky = 0; ky < TILE; ky++) {
          const p = at + REVERSED[ky]!;
          const e = columnsRe[p]! * columnsRe[p]! + columnsIm[p]! * columnsIm[p]!;
          power[at + ky] = e;
          total += e;
        }
      }
    },
  };
}

const COS = Float64Array.from({ length: TILE }, (_, i) => Math.cos((2 * Math.PI * i) / TILE));
const SIN = Float64Array.from({ length: TILE }, (_, i) => -Math.sin((2 * Math.PI * i) / TILE));
/** Where frequency k ends up after the in-place butterflies: base-4 digits reversed. */
const REVERSED = Uint8Array.from({ length: TILE }, (_, k) => ((k & 3) << 4) | (k & 12) | (k >> 4));

/** In-place complex transform of 64 values at `at`; the result is in digit-reversed order (`REVERSED`). */
function fft64(re: Float64Array, im: Float64Array, at: number): void {
  for (let quarter = 16, step = 1; quarter >= 1; quarter >>= 2, step <<= 2) {
    const span = quarter << 2;
    for (let j = 0; j < quarter; j++) {
      const t = j * step;
      const c1 = COS[t]!;
      const s1 = SIN[t]!;
      const c2 = COS[(2 * t) & 63]!;
      const s2 = SIN[(2 * t) & 63]!;
      const c3 = COS[(3 * t) & 63]!;
      const s3 = SIN[(3 * t) & 63]!;
      for (let p = at + j, end = at + TILE; p < end; p += span) {
        const q = p + quarter;
        const r = q + quarter;
        const u = r + quarter;
        const ar = re[p]! + re[r]!;
        const ai = im[p]! + im[r]!;
        const br = re[p]! - re[r]!;
        const bi = im[p]! - im[r]!;
        const cr = re[q]! + re[u]!;
        const ci = im[q]! + im[u]!;
        const dr = re[q]! - re[u]!;
        const di = im[q]! - im[u]!;
        re[p] = ar + cr;
        im[p] = ai + ci;
        const er = br + di;
        const ei = bi - dr;
        re[q] = er * c1 - ei * s1;
        im[q] = er * s1 + ei * c1;
        const fr = ar - cr;
        const fi = ai - ci;
        re[r] = fr * c2 - fi * s2;
        im[r] = fr * s2 + fi * c2;
        const gr = br - di;
        const gi = bi + dr;
        re[u] = gr * c3 - gi * s3;
        im[u] = gr * s3 + gi * c3;
      }
    }
  }
}
