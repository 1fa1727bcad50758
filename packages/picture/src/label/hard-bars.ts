import type { XY } from "../answers.ts";
import { mapped } from "./quadrangle.ts";
import { type GreyBytes, type Hit, scan } from "./scanner.ts";

/** Blur that is taken out, as the standard deviation of a Gaussian, in pixels of the crop. */
const BLURS_PX = [1.2, 1.8, 2.5];
const ITERATIONS = 20;
/** Strips across the bars of which each is averaged along them: a reflection spoils one, not all. */
const STRIPS = [0.3, 0.5, 0.7];
const STRIP_PART = 0.18;
/** Restored bars are drawn this much larger, so that the reader's pixels do not blur them again. */
const LARGER = 3;
const DRAWN_ROWS = 24;
/** Wrapped labels: half the label's width as seen, by the radius of the limb. */
const WRAPS = [0.55, 0.7, 0.82, 0.92, 0.98];
/** Of those that are sharpened: ITF is not, as parts of it pass for shorter texts, nor is what has a weak check. */
const SHARPENED = ["Code128", "Code39Std", "Code93", "EAN13"] as const;
const UNROLLED = ["Code128", "Code39Std", "Code93", "PDF417"] as const;

/**
 * Bars in a crop turned straight that do not read as they are. Blurred ones: averaged along the bars, which takes out the
 * noise, then sharpened by what may have blurred them. Wrapped ones: unrolled from the cylinder that the label may lie
 * on. Each attempt is a guess at the blur or the radius: a text counts when two strips of the bars, or two radii, give
 * it, and no attempt gave another.
 *
 * @param margin blank on each side of the bars, as a part of their width
 * @source Richardson1972
 */
export async function readHardBars(crop: GreyBytes, margin: number): Promise<Hit[]> {
  const read: { readonly hit: Hit; readonly attempt: string }[] = [];
  const attempt = async (name: string, picture: GreyBytes, formats: Formats, back: (point: XY) => XY) => {
    for (const hit of await scan(picture, formats, "once")) {
      read.push({ attempt: name, hit: { ...hit, corners: mapped(hit.corners, back) } });
    }
  };
  for (const strip of STRIPS) {
    const profile = stripProfile(crop, strip);
    const inCrop = ([x, y]: XY): XY => [x / LARGER, crop.heightPx * (0.2 + (0.6 * y) / DRAWN_ROWS)];
    for (const blurPx of BLURS_PX) {
      await attempt(`strip ${strip}`, drawnBars(restored(profile, blurPx * LARGER)), SHARPENED, inCrop);
    }
  }
  for (const wrap of WRAPS) {
    const { unrolled, fromUnrolled } = unroll(crop, wrap, margin);
    await attempt(`wrap ${wrap}`, unrolled, UNROLLED, ([x, y]) => [fromUnrolled(x), y]);
  }
  const texts = new Set(read.map(({ hit }) => `${hit.format}:${hit.text}`));
  const attempts = new Set(read.map(({ attempt }) => attempt));
  return texts.size === 1 && attempts.size > 1 ? [read[0]!.hit] : [];
}

type Formats = Parameters<typeof scan>[1];

/** Mean along the bars over a strip, `LARGER` times as fine. */
function stripProfile({ grey, widthPx, heightPx }: GreyBytes, at: number): Float64Array {
  const y0 = Math.max(0, Math.floor((at - STRIP_PART / 2) * heightPx));
  const y1 = Math.min(heightPx, Math.max(y0 + 1, Math.ceil((at + STRIP_PART / 2) * heightPx)));
  const means = new Float64Array(widthPx);
  for (let y = y0; y < y1; y++)
    for (let x = 0; x < widthPx; x++) means[x]! += grey[y * widthPx + x]! / (y1 - y0);
  return Float64Array.from({ length: widthPx * LARGER }, (_, i) => {
    const x = Math.min(Math.max((i + 0.5) / LARGER - 0.5, 0), widthPx - 1);
    const left = Math.floor(x);
    return means[left]! + (x - left) * ((means[left + 1] ?? means[left]!) - means[left]!);
  });
}

/** Deblurred by the iteration of Richardson and Lucy. */
function restored(profile: Float64Array, blurPx: number): Float64Array {
  const kernel = gaussian(blurPx);
  let estimate = profile;
  for (let n = 0; n < ITERATIONS; n++) {
    const seen = convolved(estimate, kernel);
    const change = convolved(
      profile.map((value, i) => (value + 1) / (seen[i]! + 1)),
      kernel,
    );
    estimate = estimate.map((value, i) => value * change[i]!);
  }
  return estimate;
}

function gaussian(sigma: number): Float64Array {
  const reach = Math.ceil(3 * sigma);
  const kernel = Float64Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp(-(((i - reach) / sigma) ** 2) / 2),
  );
  const sum = kernel.reduce((total, value) => total + value, 0);
  return kernel.map((value) => value / sum);
}

function convolved(values: Float64Array, kernel: Float64Array): Float64Array {
  const reach = (kernel.length - 1) / 2;
  const last = values.length - 1;
  return values.map((_, i) => {
    let sum = 0;
    for (let k = -reach; k <= reach; k++)
      sum += kernel[k + reach]! * values[Math.min(Math.max(i + k, 0), last)]!;
    return sum;
  });
}

function drawnBars(profile: Float64Array): GreyBytes {
  const least = Math.min(...profile);
  const range = Math.max(1, Math.max(...profile) - least);
  const row = Uint8Array.from(profile, (value) => (255 * (value - least)) / range);
  const grey = new Uint8Array(row.length * DRAWN_ROWS);
  for (let y = 0; y < DRAWN_ROWS; y++) grey.set(row, y * row.length);
  return { widthPx: row.length, heightPx: DRAWN_ROWS, grey };
}

/** The crop as it would be, were the cylinder flat whose axis runs down its middle. */
function unroll(crop: GreyBytes, wrap: number, margin: number) {
  const { grey, widthPx, heightPx } = crop;
  const middle = widthPx / 2;
  const radius = middle / (1 + 2 * margin) / wrap;
  // Beyond this the surface is seen edge on.
  const arc = radius * Math.asin(Math.min(0.995, middle / radius));
  const width = Math.ceil(2 * arc);
  const fromUnrolled = (x: number) => middle + radius * Math.sin((x - width / 2) / radius);
  const flat = new Uint8Array(width * heightPx);
  for (let x = 0; x < width; x++) {
    const from = Math.min(Math.max(fromUnrolled(x + 0.5) - 0.5, 0), widthPx - 1);
    const left = Math.floor(from);
    const right = Math.min(left + 1, widthPx - 1);
    for (let y = 0; y < heightPx; y++) {
      const a = grey[y * widthPx + left]!;
      flat[y * width + x] = a + (from - left) * (grey[y * widthPx + right]! - a) + 0.5;
    }
  }
  return { unrolled: { widthPx: width, heightPx, grey: flat }, fromUnrolled };
}
