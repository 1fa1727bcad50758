import { diffractionSigmaPx, drawnDiscPx, type Lens } from "../camera/lens.ts";
import type { Strip } from "../raster/strip.ts";

/** Depth in mm of what a layer shows at a picture place. */
export type DepthAt = (xPx: number, yPx: number) => number;

/** Blocks in which the blur is taken as constant: it changes slowly over a picture. */
const BLOCK_WIDTH = 128;
const BLOCK_HEIGHT = 32;
/** Up to this diameter a disc is not to be told from a Gaussian of the same spread (d/4 a side). */
const SMALL_DISC_PX = 2.5;

/** How far, in px, light is spread in a layer whose blur disc is at most `diameterPx`. */
export function spreadPx(lens: Lens, diameterPx: number): number {
  const gaussian = Math.hypot(diffractionSigmaPx(lens), Math.min(diameterPx, SMALL_DISC_PX) / 4);
  return Math.ceil(diameterPx / 2 + 3 * gaussian) + 1;
}

/**
 * The lens's blur: at each block the disc of a point at that depth, and diffraction. `out` must lie inside `from`
 * with `spreadPx` to spare on each side. Both in premultiplied linear light.
 */
export function blurStrip(from: Strip, out: Strip, lens: Lens, depthAt: DepthAt, withAlpha: boolean): void {
  const diffraction = diffractionSigmaPx(lens);
  for (let y = 0; y < out.height; y += BLOCK_HEIGHT) {
    const h = Math.min(BLOCK_HEIGHT, out.height - y);
    for (let x = 0; x < out.width; x += BLOCK_WIDTH) {
      const w = Math.min(BLOCK_WIDTH, out.width - x);
      const disc = drawnDiscPx(lens, depthAt(out.x0 + x + w / 2, out.y0 + y + h / 2));
      const block: Block = {
        sourceX: x + out.x0 - from.x0,
        sourceY: y + out.y0 - from.y0,
        sourceStride: from.width,
        targetX: x,
        targetY: y,
        targetStride: out.width,
        w,
        h,
      };
      blurPlane(from.r, out.r, block, disc, diffraction);
      blurPlane(from.g, out.g, block, disc, diffraction);
      blurPlane(from.b, out.b, block, disc, diffraction);
      if (withAlpha) blurPlane(from.a, out.a, block, disc, diffraction);
    }
  }
}

interface Block {
  readonly sourceX: number;
  readonly sourceY: number;
  readonly sourceStride: number;
  readonly targetX: number;
  readonly targetY: number;
  readonly targetStride: number;
  readonly w: number;
  readonly h: number;
}

function blurPlane(
  source: Float32Array,
  target: Float32Array,
  b: Block,
  disc: number,
  diffraction: number,
): void {
  if (disc <= SMALL_DISC_PX) {
    const kernel = gaussianKernel(diffraction ** 2 + disc ** 2 / 16);
    separable(
      source,
      b.sourceStride,
      b.sourceX,
      b.sourceY,
      target,
      b.targetStride,
      b.targetX,
      b.targetY,
      b.w,
      b.h,
      kernel,
    );
    return;
  }
  const reach = Math.ceil(disc / 2) + 1;
  const width = b.w + 2 * reach;
  const height = b.h + 2 * reach;
  const soft = scratch(0, width * height);
  const kernel = gaussianKernel(diffraction ** 2);
  separable(
    source,
    b.sourceStride,
    b.sourceX - reach,
    b.sourceY - reach,
    soft,
    width,
    0,
    0,
    width,
    height,
    kernel,
  );
  discSum(soft, width, height, reach, disc, target, b);
}

const buffers: Float32Array[] = [];

function scratch(index: number, length: number): Float32Array {
  const known = buffers[index];
  if (known && known.length >= length) return known;
  const made = new Float32Array(length);
  buffers[index] = made;
  return made;
}

const kernels = new Map<number, Float32Array>();

/** Half of a symmetric kernel of the given variance in px², centre first, sum 1 over both sides. */
export function gaussianKernel(variance: number): Float32Array {
  const key = Math.round(variance * 200);
  const known = kernels.get(key);
  if (known) return known;
  const v = key / 200;
  let kernel: Float32Array;
  if (v === 0) kernel = Float32Array.of(1);
  // Below this a sampled Gaussian loses its variance; three taps of the exact variance do not.
  else if (v < 0.35) kernel = Float32Array.of(1 - v, v / 2);
  else kernel = sampledGaussian(v);
  kernels.set(key, kernel);
  return kernel;
}

/** Sampled and cut off at 2.5 sigma; drawn a little wider so that what is left has the variance asked for. */
function sampledGaussian(variance: number): Float32Array {
  const reach = Math.ceil(2.5 * Math.sqrt(variance));
  const kernel = new Float32Array(reach + 1);
  let wide = variance;
  for (let pass = 0; pass < 12; pass++) {
    let sum = 0;
    let second = 0;
    for (let i = 0; i <= reach; i++) {
      kernel[i] = Math.exp((-i * i) / (2 * wide));
      const both = kernel[i]! * (i === 0 ? 1 : 2);
      sum += both;
      second += both * i * i;
    }
    for (let i = 0; i <= reach; i++) kernel[i] = kernel[i]! / sum;
    wide *= variance / (second / sum);
  }
  return kernel;
}

function separable(
  source: Float32Array,
  sourceStride: number,
  sx: number,
  sy: number,
  target: Float32Array,
  targetStride: number,
  tx: number,
  ty: number,
  w: number,
  h: number,
  kernel: Float32Array,
): void {
  const reach = kernel.length - 1;
  if (reach === 0) {
    for (let y = 0; y < h; y++) {
      const from = (sy + y) * sourceStride + sx;
      target.set(source.subarray(from, from + w), (ty + y) * targetStride + tx);
    }
    return;
  }
  const rows = h + 2 * reach;
  const middle = scratch(1, w * rows);
  for (let y = 0; y < rows; y++) {
    weighRow(source, (sy - reach + y) * sourceStride + sx, 1, middle, y * w, w, kernel);
  }
  for (let y = 0; y < h; y++) {
    weighRow(middle, (y + reach) * w, w, target, (ty + y) * targetStride + tx, w, kernel);
  }
}

/** Weighted sum of neighbours `step` apart, along one row; short kernels are written out because they are the rule. */
function weighRow(
  source: Float32Array,
  from: number,
  step: number,
  target: Float32Array,
  to: number,
  w: number,
  kernel: Float32Array,
): void {
  const k0 = kernel[0]!;
  const k1 = kernel[1]!;
  const reach = kernel.length - 1;
  if (reach === 1) {
    for (let x = 0; x < w; x++) {
      const p = from + x;
      target[to + x] = k0 * source[p]! + k1 * (source[p - step]! + source[p + step]!);
    }
    return;
  }
  const k2 = kernel[2]!;
  const two = step * 2;
  if (reach === 2) {
    for (let x = 0; x < w; x++) {
      const p = from + x;
      target[to + x] =
        k0 * source[p]! +
        k1 * (source[p - step]! + source[p + step]!) +
        k2 * (source[p - two]! + source[p + two]!);
    }
    return;
  }
  const k3 = kernel[3]!;
  const three = step * 3;
  for (let x = 0; x < w; x++) {
    const p = from + x;
    target[to + x] =
      k0 * source[p]! +
      k1 * (source[p - step]! + source[p + step]!) +
      k2 * (source[p - two]! + source[p + two]!) +
      k3 * (source[p - three]! + source[p + three]!);
  }
  for (let k = 4; k <= reach; k++) {
    const weight = kernel[k]!;
    const far = k * step;
    for (let x = 0; x < w; x++) {
      const p = from + x;
      target[to + x] = target[to + x]! + weight * (source[p - far]! + source[p + far]!);
    }
  }
}

/** Mean over a disc: per row of the disc, the exact chord through running sums along the picture rows. */
function discSum(
  soft: Float32Array,
  width: number,
  height: number,
  reach: number,
  disc: number,
  target: Float32Array,
  b: Block,
): void {
  const stride = width + 1;
  const sums = scratch(2, stride * height);
  for (let y = 0; y < height; y++) {
    let sum = 0;
    sums[y * stride] = 0;
    for (let x = 0; x < width; x++) {
      sum += soft[y * width + x]!;
      sums[y * stride + x + 1] = sum;
    }
  }
  const radius = disc / 2;
  const chords: number[] = [];
  let area = 0;
  for (let dy = -reach; dy <= reach; dy++) {
    const half = meanHalfChord(radius, dy);
    chords.push(half);
    area += 2 * half;
  }
  const scale = 1 / area;
  for (let y = 0; y < b.h; y++) {
    const to = (b.targetY + y) * b.targetStride + b.targetX;
    target.fill(0, to, to + b.w);
    for (let i = 0; i < chords.length; i++) {
      const half = chords[i]!;
      if (half <= 0) continue;
      const from = (y + i) * stride + reach;
      const right = 0.5 + half;
      const left = 0.5 - half;
      const ri = Math.floor(right);
      const li = Math.floor(left);
      const rf = right - ri;
      const lf = left - li;
      for (let x = 0; x < b.w; x++) {
        const r0 = sums[from + x + ri]!;
        const l0 = sums[from + x + li]!;
        const upper = r0 + (sums[from + x + ri + 1]! - r0) * rf;
        const lower = l0 + (sums[from + x + li + 1]! - l0) * lf;
        target[to + x] = target[to + x]! + (upper - lower) * scale;
      }
    }
  }
}

/** Half chord of a disc averaged over the pixel row at offset dy. */
function meanHalfChord(radius: number, dy: number): number {
  const from = Math.max(-radius, dy - 0.5);
  const to = Math.min(radius, dy + 0.5);
  if (from >= to) return 0;
  const primitive = (y: number): number =>
    0.5 *
    (y * Math.sqrt(Math.max(0, radius * radius - y * y)) +
      radius * radius * Math.asin(Math.max(-1, Math.min(1, y / radius))));
  return primitive(to) - primitive(from);
}
