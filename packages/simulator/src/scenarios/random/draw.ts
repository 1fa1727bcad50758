import { seededRandom } from "@samescale/geometry";

/** Chance from a seed, in the forms that a scenario asks for. */
export interface Draw {
  /** 0 to 1. */
  share(): number;
  between(least: number, most: number): number;
  /** Each octave as likely as any other. */
  octaves(least: number, most: number): number;
  whole(least: number, most: number): number;
  chance(probability: number): boolean;
  pick<T>(from: readonly T[]): T;
  /** By weight. */
  weighted<T>(from: readonly (readonly [weight: number, value: T])[]): T;
}

export function drawFrom(seed: number): Draw {
  const share = seededRandom(seed);
  const between = (least: number, most: number): number => least + (most - least) * share();
  return {
    share,
    between,
    octaves: (least, most) => Math.exp(between(Math.log(least), Math.log(most))),
    whole: (least, most) => least + Math.floor(share() * (most - least + 1)),
    chance: (probability) => share() < probability,
    pick: (from) => from[Math.floor(share() * from.length)]!,
    weighted: (from) => {
      let left = share() * from.reduce((sum, [weight]) => sum + weight, 0);
      for (const [weight, value] of from) {
        left -= weight;
        if (left < 0) return value;
      }
      return from.at(-1)![1];
    },
  };
}
