import type { Camera } from "../camera/camera.ts";
import { encodeSrgb } from "../colour/colour.ts";
import { hash2 } from "../noise/hash.ts";
import type { Strip } from "../raster/strip.ts";

/** Full well and read noise in electrons of a usual 36 x 24 mm sensor, for a 6 µm pixel at ISO 100. */
const FULL_WELL = 60_000; // common practice, no source
const READ_NOISE = 4;
const REFERENCE_PITCH_MM = 0.006;

/** Steps of the tables over linear light: at the dark end one is a tenth of a grey level. */
const LEVELS = 32768;

/** Turns linear light into 8-bit sRGB: exposure, shot and read noise, transfer curve, unsharp mask. */
export class Sensor {
  readonly #shot: number;
  readonly #read2: number;
  readonly #gain: number;
  readonly #curve = new Float32Array(LEVELS + 2);
  readonly #deviation = new Float32Array(LEVELS + 2);
  readonly #normal = normalTable();
  readonly #sharpen: number;
  readonly #seed: number;
  readonly #planes: Float32Array[] = [];

  constructor(camera: Camera, seed: number) {
    const pitch = camera.sensorMm.width / camera.widthPx;
    const well = (FULL_WELL * (pitch / REFERENCE_PITCH_MM) ** 2 * 100) / camera.iso;
    const level = camera.noiseLevel;
    // A signal of 1 fills the well; variances in units of full scale.
    this.#shot = level ** 2 / well;
    this.#read2 = (level * READ_NOISE) ** 2 / well ** 2;
    this.#gain = 2 ** camera.exposureStops;
    this.#sharpen = camera.sharpen;
    this.#seed = seed;
    for (let i = 0; i < this.#curve.length; i++) {
      this.#curve[i] = 255 * encodeSrgb(i / LEVELS);
      this.#deviation[i] = Math.sqrt(this.#read2 + (i / LEVELS) * this.#shot);
    }
  }

  /**
   * Develops the rows `from` to `to` (counted in the strip) of the strip's columns `left` to `left + width` into
   * `rgb`, at picture row `y`. One more row and column must lie around them.
   */
  develop(
    strip: Strip,
    from: number,
    to: number,
    left: number,
    width: number,
    rgb: Uint8Array,
    y: number,
  ): void {
    const rows = to - from + 2;
    const wide = width + 2;
    const planes = [strip.r, strip.g, strip.b].map((plane, channel) =>
      this.#expose(plane, strip.width, from - 1, rows, left - 1, wide, y, channel),
    );
    const [r, g, b] = planes as [Float32Array, Float32Array, Float32Array];
    const amount = this.#sharpen * 1.4;
    for (let row = 1; row <= to - from; row++) {
      let out = (y + row - 1) * width * 3;
      let p = row * wide + 1;
      for (let i = 0; i < width; i++, p++) {
        let detail = 0;
        if (amount > 0) {
          const up = p - wide;
          const down = p + wide;
          const around =
            g[up - 1]! +
            g[up + 1]! +
            g[down - 1]! +
            g[down + 1]! +
            2 * (g[up]! + g[down]! + g[p - 1]! + g[p + 1]!);
          detail = amount * (g[p]! - (around + 4 * g[p]!) / 16);
        }
        rgb[out] = toByte(r[p]! + detail);
        rgb[out + 1] = toByte(g[p]! + detail);
        rgb[out + 2] = toByte(b[p]! + detail);
        out += 3;
      }
    }
  }

  #plane(channel: number, length: number): Float32Array {
    const known = this.#planes[channel];
    if (known && known.length >= length) return known;
    const made = new Float32Array(length);
    this.#planes[channel] = made;
    return made;
  }

  #expose(
    plane: Float32Array,
    stride: number,
    top: number,
    rows: number,
    left: number,
    wide: number,
    y: number,
    channel: number,
  ): Float32Array {
    const out = this.#plane(channel, rows * wide);
    const normal = this.#normal;
    const curve = this.#curve;
    const deviation = this.#deviation;
    const gain = this.#gain;
    const mask = normal.length - 1;
    const noisy = this.#shot > 0;
    for (let row = 0; row < rows; row++) {
      // Each row's noise hangs on its place alone, so that bands meet without a seam.
      let random = hash2(row + y, channel, this.#seed) | 1;
      const from = (top + row) * stride + left;
      const to = row * wide;
      for (let i = 0; i < wide; i++) {
        let light = plane[from + i]! * gain;
        if (noisy) {
          random = (Math.imul(random, 1664525) + 1013904223) | 0;
          light += normal[(random >>> 12) & mask]! * deviation[indexOf(light)]!;
        }
        out[to + i] = curve[indexOf(light)]!;
      }
    }
    return out;
  }
}

/** Nearest step of the tables. */
const indexOf = (light: number): number =>
  light <= 0 ? 0 : light >= 1 ? LEVELS : (light * LEVELS + 0.5) | 0;

const toByte = (value: number): number => (value <= 0 ? 0 : value >= 255 ? 255 : (value + 0.5) | 0);

/** Normal deviates in a table: by inverse of the distribution, evenly spaced, then shuffled by the row's numbers. */
function normalTable(): Float32Array {
  const n = 65536;
  const out = new Float32Array(n);
  for (let i = 0; i < n; i++) out[i] = normalQuantile((i + 0.5) / n);
  return out;
}

/** Inverse of the standard normal distribution, relative error below 1.2e-9. @source Acklam2003 */
function normalQuantile(p: number): number {
  const low = 0.02425;
  if (p > 0.5) return -normalQuantile(1 - p);
  if (p < low) {
    const q = Math.sqrt(-2 * Math.log(p));
    return (
      (((((-7.784894002430293e-3 * q - 3.223964580411365e-1) * q - 2.400758277161838) * q -
        2.549732539343734) *
        q +
        4.374664141464968) *
        q +
        2.938163982698783) /
      ((((7.784695709041462e-3 * q + 3.224671290700398e-1) * q + 2.445134137142996) * q + 3.754408661907416) *
        q +
        1)
    );
  }
  const q = p - 0.5;
  const r = q * q;
  return (
    ((((((-3.969683028665376e1 * r + 2.209460984245205e2) * r - 2.759285104469687e2) * r +
      1.38357751867269e2) *
      r -
      3.066479806614716e1) *
      r +
      2.506628277459239) *
      q) /
    (((((-5.447609879822406e1 * r + 1.615858368580409e2) * r - 1.556989798598866e2) * r +
      6.680131188771972e1) *
      r -
      1.328068155288572e1) *
      r +
      1)
  );
}
