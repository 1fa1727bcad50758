import type { GreyPicture } from "../../decode/picture.ts";

/**
 * Local contrast with a soft sign: a faint tick counts as much as a black one, and the edge of the ruler's body
 * no more than either. Dividing by the local deviation instead would let that edge swamp faint ticks.
 *
 *   coded = clip((I - blurred I) / c, -1, 1),   c = max(3, 3 sigma of the noise) grey levels
 */
export function codedContrast(picture: GreyPicture): Float32Array {
  const { widthPx, heightPx, grey } = picture;
  const gain = 1 / Math.max(LEAST_CONTRAST, 3 * noiseSigma(picture));
  const coded = new Float32Array(grey.length);
  const columnSums = new Float32Array(widthPx);
  const row = new Float32Array(widthPx);
  const prefix = new Float64Array(widthPx + 1);
  const area = (2 * RADIUS + 1) ** 2;
  for (let y = -RADIUS; y < RADIUS; y++) addRow(grey, widthPx, clamp(y, heightPx), columnSums, 1);
  for (let y = 0; y < heightPx; y++) {
    addRow(grey, widthPx, clamp(y + RADIUS, heightPx), columnSums, 1);
    boxAlong(columnSums, prefix, row);
    const at = y * widthPx;
    for (let x = 0; x < widthPx; x++) {
      const d = (grey[at + x]! - row[x]! / area) * gain;
      coded[at + x] = Math.max(-1, Math.min(1, d));
    }
    addRow(grey, widthPx, clamp(y - RADIUS, heightPx), columnSums, -1);
  }
  return coded;
}

/** Half width of the blur: a 9 px box spreads like a Gaussian of 2.6 px and passes pitches up to about 13 px. */
const RADIUS = 4;
/** Grey levels; below this a JPEG's own steps would be coded as contrast. */
const LEAST_CONTRAST = 3;

const clamp = (y: number, height: number) => Math.max(0, Math.min(height - 1, y));

function addRow(grey: Float32Array, width: number, y: number, sums: Float32Array, sign: 1 | -1): void {
  const at = y * width;
  if (sign === 1) for (let x = 0; x < width; x++) sums[x]! += grey[at + x]!;
  else for (let x = 0; x < width; x++) sums[x]! -= grey[at + x]!;
}

function boxAlong(sums: Float32Array, prefix: Float64Array, out: Float32Array): void {
  const n = sums.length;
  for (let x = 0; x < n; x++) prefix[x + 1] = prefix[x]! + sums[x]!;
  const first = sums[0]!;
  const last = sums[n - 1]!;
  for (let x = 0; x < n; x++) {
    const from = x - RADIUS;
    const to = x + RADIUS + 1;
    let sum = prefix[Math.min(to, n)]! - prefix[Math.max(from, 0)]!;
    if (from < 0) sum -= from * first;
    if (to > n) sum += (to - n) * last;
    out[x] = sum;
  }
}

/** Standard deviation of the pixel noise, from the median of second differences (robust against detail). */
export function noiseSigma({ widthPx, heightPx, grey }: GreyPicture): number {
  if (widthPx < 3) return 0;
  const stride = Math.max(1, Math.floor(Math.sqrt((widthPx * heightPx) / 20_000)));
  const counts = new Uint32Array(1024);
  let n = 0;
  for (let y = 0; y < heightPx; y += stride) {
    for (let x = 1; x < widthPx - 1; x += stride) {
      const at = y * widthPx + x;
      const d = Math.abs(grey[at - 1]! - 2 * grey[at]! + grey[at + 1]!);
      counts[Math.min(1023, Math.floor(d * 4))]!++;
      n++;
    }
  }
  let seen = 0;
  let bin = 0;
  while (bin < 1023 && seen + counts[bin]! < n / 2) seen += counts[bin++]!;
  const median = (bin + (n / 2 - seen) / Math.max(1, counts[bin]!)) / 4;
  return median / (0.6745 * Math.sqrt(6)); // the second difference of white noise has six times its variance
}
