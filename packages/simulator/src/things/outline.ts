import { seededRandom } from "@samescale/geometry";
import type { Ring } from "../artwork/mark.ts";

/** An irregular round outline: an ellipse whose radius is changed by a few waves. Same seed, same waves. */
export interface Blob {
  radiusAt(angle: number): number;
  readonly outline: Ring;
}

export function blobOf(lengthMm: number, widthMm: number, irregularity: number, seed: number): Blob {
  const run = seededRandom(seed);
  const waves = [2, 3, 4, 5, 7, 9, 12, 17, 23, 31].map((k) => ({
    k,
    amplitude: (irregularity * 0.42 * (0.4 + 0.6 * run())) / k,
    phase: run() * 2 * Math.PI,
  }));
  const [a, b] = [lengthMm / 2, widthMm / 2];
  const exact = (angle: number): number => {
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    let k = 1;
    for (const wave of waves) k += wave.amplitude * Math.cos(wave.k * angle + wave.phase);
    return (k * (a * b)) / Math.hypot(b * c, a * s);
  };
  const radiusAt = tabled(exact);
  return { radiusAt, outline: ringOf(radiusAt) };
}

const SIDES = 480;
/** A multiple of the sides, so that the outline's corners lie on the table. */
const TABLE = SIDES * 4;

/** A function of the angle, read from a table: artwork asks for it at every pixel. */
export function tabled(exact: (angle: number) => number): (angle: number) => number {
  const table = Float64Array.from({ length: TABLE + 2 }, (_, i) => exact((i / TABLE) * 2 * Math.PI));
  return (angle) => {
    const turn = angle / (2 * Math.PI);
    const at = (turn - Math.floor(turn)) * TABLE;
    const i = at | 0;
    return table[i]! + (table[i + 1]! - table[i]!) * (at - i);
  };
}

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
