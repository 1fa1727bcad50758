import type { Ring } from "../artwork/mark.ts";
import { runOf } from "../noise/hash.ts";

/** An irregular round outline: an ellipse whose radius is changed by a few waves. Same seed, same waves. */
export interface Blob {
  radiusAt(angle: number): number;
  readonly outline: Ring;
}

export function blobOf(lengthMm: number, widthMm: number, irregularity: number, seed: number): Blob {
  const run = runOf(seed);
  const waves = [2, 3, 4, 5, 7, 9, 12].map((k) => ({
    k,
    amplitude: (irregularity * 0.42 * (0.4 + 0.6 * run())) / k,
    phase: run() * 2 * Math.PI,
  }));
  const [a, b] = [lengthMm / 2, widthMm / 2];
  const radiusAt = (angle: number): number => {
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    let k = 1;
    for (const wave of waves) k += wave.amplitude * Math.cos(wave.k * angle + wave.phase);
    return (k * (a * b)) / Math.hypot(b * c, a * s);
  };
  return { radiusAt, outline: ringOf(radiusAt) };
}

const SIDES = 360;

export function ringOf(radiusAt: (angle: number) => number, sides = SIDES): Ring {
  const out = new Float64Array(sides * 2);
  for (let i = 0; i < sides; i++) {
    const angle = (i / sides) * 2 * Math.PI;
    const r = radiusAt(angle);
    out[i * 2] = r * Math.cos(angle);
    out[i * 2 + 1] = r * Math.sin(angle);
  }
  return out;
}
