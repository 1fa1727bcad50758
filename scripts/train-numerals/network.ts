import { CLASSES, classify, type Network } from "../../packages/picture/src/scale/numerals/classifier.ts";
import { FEATURES } from "../../packages/picture/src/scale/numerals/features.ts";
import type { Sample } from "./samples.ts";

/**
 * Trains one hidden layer by stochastic gradient descent with momentum on the cross entropy.
 * @source GoodfellowBengioCourville2016 (chapters 6 and 8)
 */
export function train(
  samples: readonly Sample[],
  hidden: number,
  epochs: number,
  random: () => number,
): Network {
  const inner = new Float32Array(hidden * (FEATURES + 1)).map(() => 0.2 * (random() - 0.5));
  const outer = new Float32Array(CLASSES * (hidden + 1)).map(() => 0.4 * (random() - 0.5));
  const innerSpeed = new Float32Array(inner.length);
  const outerSpeed = new Float32Array(outer.length);
  const innerStep = new Float32Array(inner.length);
  const outerStep = new Float32Array(outer.length);
  const network = { hidden, inner, outer };
  const order = samples.map((_, i) => i);
  const BATCH = 32;
  for (let epoch = 0; epoch < epochs; epoch++) {
    for (let i = order.length - 1; i > 0; i--) {
      const j = Math.floor(random() * (i + 1));
      [order[i], order[j]] = [order[j]!, order[i]!];
    }
    const rate = 0.05 * 0.5 * (1 + Math.cos((Math.PI * epoch) / epochs));
    for (let from = 0; from < order.length; from += BATCH) {
      innerStep.fill(0);
      outerStep.fill(0);
      const batch = order.slice(from, from + BATCH);
      for (const i of batch) gradient(samples[i]!, network, innerStep, outerStep, random);
      for (let w = 0; w < inner.length; w++) {
        innerSpeed[w] = 0.9 * innerSpeed[w]! - rate * (innerStep[w]! / batch.length + 1e-4 * inner[w]!);
        inner[w]! += innerSpeed[w]!;
      }
      for (let w = 0; w < outer.length; w++) {
        outerSpeed[w] = 0.9 * outerSpeed[w]! - rate * (outerStep[w]! / batch.length + 1e-4 * outer[w]!);
        outer[w]! += outerSpeed[w]!;
      }
    }
  }
  return network;
}

/** Of one sample; the features are shaken a little, so that no single one is leant on. */
function gradient(
  { features, target }: Sample,
  { hidden, inner, outer }: Network,
  innerStep: Float32Array,
  outerStep: Float32Array,
  random: () => number,
): void {
  const shaken = features.map((v) => (random() < 0.1 ? 0 : v));
  const units = new Float32Array(hidden);
  for (let h = 0; h < hidden; h++) {
    const row = h * (FEATURES + 1);
    let sum = inner[row + FEATURES]!;
    for (let f = 0; f < FEATURES; f++) sum += inner[row + f]! * shaken[f]!;
    units[h] = Math.max(0, sum);
  }
  const powers = new Float32Array(CLASSES);
  let total = 0;
  for (let c = 0; c < CLASSES; c++) {
    const row = c * (hidden + 1);
    let sum = outer[row + hidden]!;
    for (let h = 0; h < hidden; h++) sum += outer[row + h]! * units[h]!;
    powers[c] = Math.exp(Math.min(30, sum));
    total += powers[c]!;
  }
  const back = new Float32Array(hidden);
  for (let c = 0; c < CLASSES; c++) {
    // A twentieth of the certainty is kept back: probabilities that are multiplied later must not be vain.
    const wanted = c === target ? 0.95 : 0.05 / (CLASSES - 1);
    const error = powers[c]! / total - wanted;
    const row = c * (hidden + 1);
    outerStep[row + hidden]! += error;
    for (let h = 0; h < hidden; h++) {
      outerStep[row + h]! += error * units[h]!;
      back[h]! += error * outer[row + h]!;
    }
  }
  for (let h = 0; h < hidden; h++) {
    if (units[h] === 0) continue;
    const row = h * (FEATURES + 1);
    innerStep[row + FEATURES]! += back[h]!;
    for (let f = 0; f < FEATURES; f++) innerStep[row + f]! += back[h]! * shaken[f]!;
  }
}

/** Per true class, how often each class was said. */
export function confusion(samples: readonly Sample[], network: Network): number[][] {
  const counts = Array.from({ length: CLASSES }, () => new Array<number>(CLASSES).fill(0));
  for (const { features, target } of samples) {
    const p = classify(features, network);
    counts[target]![p.indexOf(Math.max(...p))]!++;
  }
  return counts;
}
