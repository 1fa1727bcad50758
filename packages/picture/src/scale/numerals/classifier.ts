import { readFileSync } from "node:fs";
import { FEATURES } from "./features.ts";

/**
 * Which character a mark is: a network of one hidden layer over the features, trained on the simulator's pictures
 * only (scripts/train-numerals). Upper and lower case that differ in size alone share a class; an upright stroke is
 * "1", whatever it stands for.
 */
export const CHARACTERS = [..."0123456789", "c", "m", "n", "h", "M", "N", "H"] as const;
export type Character = (typeof CHARACTERS)[number];

/** One more class than characters: marks that are none. */
export const CLASSES = CHARACTERS.length + 1;

export interface Network {
  readonly hidden: number;
  /** Per hidden unit: weights of the features, then its bias. */
  readonly inner: Float32Array;
  /** Per class: weights of the hidden units, then its bias. */
  readonly outer: Float32Array;
}

/** Probability of each character and, last, of none. */
export function classify(features: Float32Array, { hidden, inner, outer }: Network): Float32Array {
  const units = new Float32Array(hidden);
  for (let h = 0; h < hidden; h++) {
    const row = h * (FEATURES + 1);
    let sum = inner[row + FEATURES]!;
    for (let f = 0; f < FEATURES; f++) sum += inner[row + f]! * features[f]!;
    units[h] = Math.max(0, sum);
  }
  const logits = new Float32Array(CLASSES);
  for (let c = 0; c < CLASSES; c++) {
    const row = c * (hidden + 1);
    let sum = outer[row + hidden]!;
    for (let h = 0; h < hidden; h++) sum += outer[row + h]! * units[h]!;
    logits[c] = sum;
  }
  const most = Math.max(...logits);
  const powers = logits.map((l) => Math.exp(l - most));
  const total = powers.reduce((a, b) => a + b, 0);
  return powers.map((p) => p / total);
}

let shipped: Network | null = null;

/** The trained network of this folder; read once. */
export function shippedNetwork(): Network {
  if (!shipped) {
    const file = JSON.parse(readFileSync(new URL("weights.json", import.meta.url), "utf8")) as {
      hidden: number;
      inner: string;
      outer: string;
    };
    const floats = (base64: string) =>
      new Float32Array(Uint8Array.from(Buffer.from(base64, "base64")).buffer);
    shipped = { hidden: file.hidden, inner: floats(file.inner), outer: floats(file.outer) };
  }
  return shipped;
}
