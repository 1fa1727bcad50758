import { seededRandom } from "@samescale/geometry";
import type { OutlineRegion, XY } from "../../src/answers.ts";

export type Colour = readonly [r: number, g: number, b: number];

/** A picture from a rule for each pixel's colour, with grain like a sensor's. Same seed, same pixels. */
export function picture(
  widthPx: number,
  heightPx: number,
  colour: (x: number, y: number) => Colour,
  grain = 4,
  seed = 7,
) {
  const random = seededRandom(seed);
  const rgb = new Uint8Array(widthPx * heightPx * 3);
  for (let i = 0; i < widthPx * heightPx; i++) {
    const c = colour((i % widthPx) + 0.5, Math.floor(i / widthPx) + 0.5);
    for (let k = 0; k < 3; k++) {
      const noise = grain * (random() + random() + random() - 1.5);
      rgb[3 * i + k] = Math.max(0, Math.min(255, Math.round(c[k]! + noise)));
    }
  }
  return { widthPx, heightPx, rgb };
}

/** Pixels whose centre lies inside the regions (even-odd over all rings of a region). */
export function filled(regions: readonly OutlineRegion[], width: number, height: number): Uint8Array {
  const on = new Uint8Array(width * height);
  for (const { outline, holes } of regions) {
    const rings = [outline, ...holes];
    for (let y = 0; y < height; y++) {
      const xs = rings.flatMap((ring) => crossingsAt(ring, y + 0.5)).sort((a, b) => a - b);
      for (let k = 0; k + 1 < xs.length; k += 2) {
        for (let x = Math.max(0, Math.ceil(xs[k]! - 0.5)); x < Math.min(width, xs[k + 1]! - 0.5); x++) {
          on[y * width + x] = 1;
        }
      }
    }
  }
  return on;
}

function crossingsAt(ring: readonly XY[], y: number): number[] {
  return ring.flatMap(([x0, y0], i) => {
    const [x1, y1] = ring[(i + 1) % ring.length]!;
    return y0 <= y !== y1 <= y ? [x0 + ((y - y0) / (y1 - y0)) * (x1 - x0)] : [];
  });
}

/** Twice the common area over the sum of both. @source Dice1945 */
export function dice(a: Uint8Array, b: Uint8Array): number {
  let both = 0;
  let sum = 0;
  for (let i = 0; i < a.length; i++) {
    both += a[i]! & b[i]!;
    sum += a[i]! + b[i]!;
  }
  return sum > 0 ? (2 * both) / sum : 1;
}

export const maskOf = (width: number, height: number, isInside: (x: number, y: number) => boolean) =>
  Uint8Array.from({ length: width * height }, (_, i) =>
    isInside((i % width) + 0.5, Math.floor(i / width) + 0.5) ? 1 : 0,
  );
