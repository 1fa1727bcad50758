import type { GreyPicture } from "../../decode/picture.ts";

/**
 * Local contrast with a soft sign: a faint tick counts as much as a black one, and the edge of the ruler's body
 * no more than either. Dividing by the local deviation instead would let that edge swamp faint ticks.
 *
 *   coded = clip((I - blurred I) / c, -1, 1),   c = max(3, 3 sigma of the noise) grey levels
 *
 * Only a band of rows is held, which a search moves down the picture: a whole coded picture would be the largest thing
 * in memory, and asking for the memory would take longer than the arithmetic.
 */
export interface CodedBand {
  /** `rows` rows of the picture's width. */
  readonly coded: Float32Array;
  /** Makes `top` the band's first row. Moving down by less than the band's height keeps what is known already. */
  moveTo(top: number): void;
}

/** Half width of the blur: a 9 px box spreads like a Gaussian of 2.6 px and passes pitches up to about 13 px. */
const RADIUS = 4;
const BOX_AREA = (2 * RADIUS + 1) ** 2;
/** Grey levels; below this a JPEG's own steps would be coded as contrast. */
const LEAST_CONTRAST = 3;

export function codedBand(picture: GreyPicture, rows: number): CodedBand {
  const { widthPx, heightPx, grey } = picture;
  const gain = 1 / Math.max(LEAST_CONTRAST, 3 * noiseSigma(picture)) / BOX_AREA;
  const coded = new Float32Array(rows * widthPx);
  // Sums of 2 RADIUS + 1 rows; the border columns stand for what lies beyond them.
  const columns = new Float64Array(widthPx + 2 * RADIUS + 1);
  let from = 0;
  let to = 0;

  const rowStart = (y: number) => Math.max(0, Math.min(heightPx - 1, y)) * widthPx;

  /** Columns summed over the rows round `y - 1`, so that `code(y)` may follow. */
  function restart(y: number): void {
    columns.fill(0);
    for (let r = y - 1 - RADIUS; r < y + RADIUS; r++) {
      const at = rowStart(r);
      for (let x = 0; x < widthPx; x++) columns[x + RADIUS]! += grey[at + x]!;
    }
  }

  function code(y: number, out: number): void {
    const add = rowStart(y + RADIUS);
    const drop = rowStart(y - 1 - RADIUS);
    for (let x = 0; x < widthPx; x++) columns[x + RADIUS]! += grey[add + x]! - grey[drop + x]!;
    columns.fill(columns[RADIUS]!, 0, RADIUS);
    columns.fill(columns[widthPx + RADIUS - 1]!, widthPx + RADIUS);
    let sum = 0;
    for (let i = 0; i < 2 * RADIUS + 1; i++) sum += columns[i]!;
    const at = rowStart(y);
    for (let x = 0; x < widthPx; x++) {
      const d = (BOX_AREA * grey[at + x]! - sum) * gain;
      coded[out + x] = Math.max(-1, Math.min(1, d));
      sum += columns[x + 2 * RADIUS + 1]! - columns[x]!;
    }
  }

  return {
    coded,
    moveTo(top) {
      if (top >= from && top < to) coded.copyWithin(0, (top - from) * widthPx, (to - from) * widthPx);
      else {
        restart(top);
        to = top;
      }
      from = top;
      for (; to < top + rows; to++) code(to, (to - top) * widthPx);
    },
  };
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
