import { median } from "../numbers.ts";

/**
 * Rulers tell their unit by the lengths of their bars: every tenth longest, every fifth longer (millimetres);
 * halves, quarters, eighths, sixteenths (inches). A hypothesis is a set of periods, longest first; a bar belongs
 * to the first period that divides its number.
 */
export interface Division {
  readonly name: string;
  readonly unit: "mm" | "cm" | "inch";
  /** Size of one pitch. */
  readonly pitchMm: number;
  readonly periods: readonly number[];
}

const INCH = 25.4;

export const MILLIMETRES: Division = { name: "mm", unit: "mm", pitchMm: 1, periods: [10, 5, 1] };

/** Divided as millimetres are: never a hypothesis of its own. */
export const TENTHS: Division = { name: "inch/10", unit: "inch", pitchMm: INCH / 10, periods: [10, 5, 1] };

export const DIVISIONS: readonly Division[] = [
  MILLIMETRES,
  { name: "half mm", unit: "mm", pitchMm: 0.5, periods: [20, 10, 2, 1] },
  { name: "half mm, equal", unit: "mm", pitchMm: 0.5, periods: [20, 10, 1] },
  { name: "inch/8", unit: "inch", pitchMm: INCH / 8, periods: [8, 4, 2, 1] },
  { name: "inch/16", unit: "inch", pitchMm: INCH / 16, periods: [16, 8, 4, 2, 1] },
  { name: "inch/32", unit: "inch", pitchMm: INCH / 32, periods: [32, 16, 8, 4, 2, 1] },
  { name: "mm, tens only", unit: "mm", pitchMm: 1, periods: [10, 1] },
  { name: "mm, fives only", unit: "mm", pitchMm: 1, periods: [5, 1] },
  { name: "2 mm", unit: "mm", pitchMm: 2, periods: [5, 1] },
];

export interface Fitted {
  readonly division: Division;
  /** Number k of a bar that belongs to the longest class is congruent to this. */
  readonly phase: number;
  /** Gain in the Bayesian information criterion over bars of one length: 2 ln of the odds, roughly. */
  readonly score: number;
  /** Mean length per class, longest period first, in pitches. */
  readonly means: readonly number[];
  /** Bars in each class. */
  readonly counts: readonly number[];
  /** Typical departure of a bar from its class, in pitches. */
  readonly scatter: number;
}

/** Loss beyond this many pitches counts no more: numerals and scratches lengthen single bars. */
const MOST_LOSS = 1.2;
/** Lengths are not known better than the rows they are read in. */
const LEAST_SCATTER = 0.1;
/** A longer class must be longer by this, in pitches. */
const LEAST_STEP = 0.25;

/** Best phase of one division for lengths `values` of bars `numbers`; null when its classes do not grow. */
export function fitDivision(
  numbers: readonly number[],
  values: readonly number[],
  division: Division,
): Fitted | null {
  const longest = division.periods[0]!;
  const n = values.length;
  const flat = lossFrom(values, median(values));
  let best: Fitted | null = null;
  for (let phase = 0; phase < longest; phase++) {
    const classes: number[][] = division.periods.map(() => []);
    numbers.forEach((k, i) => {
      classes[classOf(k - phase, division.periods)]!.push(values[i]!);
    });
    if (classes.some((c) => c.length === 0)) continue;
    const means = classes.map(median);
    if (means.some((m, i) => i > 0 && means[i - 1]! < m + LEAST_STEP)) continue;
    const loss = classes.reduce((sum, c, i) => sum + lossFrom(c, means[i]!), 0);
    const parameters = division.periods.length - 1 + 1; // means beyond the first, and the phase
    const score =
      n * Math.log((flat + n * LEAST_SCATTER ** 2) / (loss + n * LEAST_SCATTER ** 2)) -
      parameters * Math.log(n);
    if (!best || score > best.score) {
      best = {
        division,
        phase,
        score,
        means,
        counts: classes.map((c) => c.length),
        scatter: Math.sqrt(loss / n),
      };
    }
  }
  return best;
}

export function classOf(k: number, periods: readonly number[]): number {
  for (let i = 0; i < periods.length; i++) if (k % periods[i]! === 0) return i;
  return periods.length - 1;
}

function lossFrom(values: readonly number[], centre: number): number {
  let sum = 0;
  for (const v of values) sum += Math.min((v - centre) ** 2, MOST_LOSS ** 2);
  return sum;
}
