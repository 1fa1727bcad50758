import type { GraduationRow } from "../edge/graduations.ts";
import type { BarLengths } from "../edge/lengths.ts";
import { medianDeviation } from "../numbers.ts";
import { classOf, DIVISIONS, type Division, type Fitted, fitDivision } from "./hierarchy.ts";

/** What the lengths of a row's bars say about its unit. */
export interface UnitReading extends Fitted {
  /** Which lengths spoke: those to one side of the band, to both, or how dark the lines are (graph paper). */
  readonly feature: Feature;
  /** Score above the best division of another size. */
  readonly lead: number;
  /** How well the long bars are those whose number says so (F1), for the longest class and for all but the shortest. */
  readonly order: readonly [longest: number, longer: number];
  /** Scatter of the bars' feet on the base line, in pitches. */
  readonly baseScatter: number;
}

export type Feature = "minus" | "plus" | "both" | "minus worn" | "plus worn" | "both worn" | "strength";

/** Sizes nearer than this are one size. */
const SAME_SIZE = 0.02;
/** Strength has no unit; scaled so that a line of double strength counts like a bar three pitches longer. */
const STRENGTH_PITCHES = 3;

/** Every division that could explain the bars, best first. */
export function unitReadings(row: GraduationRow, lengths: BarLengths): UnitReading[] {
  const numbers = row.graduations.map((g) => g.k);
  const features = featuresOf(lengths);
  const best = new Map<Division, { fitted: Fitted; feature: Feature }>();
  for (const [feature, values] of Object.entries(features) as [Feature, number[]][]) {
    for (const division of DIVISIONS) {
      const fitted = fitDivision(numbers, values, division);
      if (fitted && fitted.score > (best.get(division)?.fitted.score ?? 0))
        best.set(division, { fitted, feature });
    }
  }
  const all = [...best.values()].sort((a, b) => b.fitted.score - a.fitted.score);
  return all.map(({ fitted, feature }) => {
    const size = fitted.division.pitchMm;
    const rival = all.find((o) => Math.abs(Math.log(o.fitted.division.pitchMm / size)) > SAME_SIZE);
    return {
      ...fitted,
      feature,
      lead: fitted.score - (rival?.fitted.score ?? 0),
      order: orderOf(numbers, features[feature], fitted),
      baseScatter: baseScatterOf(lengths, feature),
    };
  });
}

function featuresOf({ bars }: BarLengths): Record<Feature, number[]> {
  return {
    minus: bars.map((b) => b.minus),
    plus: bars.map((b) => b.plus),
    both: bars.map((b) => b.minus + b.plus),
    "minus worn": bars.map((b) => b.minusWorn),
    "plus worn": bars.map((b) => b.plusWorn),
    "both worn": bars.map((b) => b.minusWorn + b.plusWorn),
    strength: bars.map((b) => b.strength * STRENGTH_PITCHES),
  };
}

/** Bars longer than half way to the next class against the bars that should be: harmonic mean of found and right. */
function orderOf(
  numbers: readonly number[],
  values: readonly number[],
  fitted: Fitted,
): readonly [number, number] {
  return [
    orderAtCut(numbers, values, fitted, 0),
    orderAtCut(numbers, values, fitted, fitted.means.length - 2),
  ];
}

function orderAtCut(
  numbers: readonly number[],
  values: readonly number[],
  { division, phase, means }: Fitted,
  cut: number,
): number {
  const limit = 0.5 * (means[cut]! + means[cut + 1]!);
  let right = 0;
  let longer = 0;
  let expected = 0;
  numbers.forEach((k, i) => {
    const isLong = values[i]! > limit;
    const shouldBe = classOf(k - phase, division.periods) <= cut;
    if (isLong) longer++;
    if (shouldBe) expected++;
    if (isLong && shouldBe) right++;
  });
  return (2 * right) / Math.max(1, longer + expected);
}

/** Median distance of the feet from their median, on the side on which the bars do not differ. */
function baseScatterOf({ bars }: BarLengths, feature: Feature): number {
  const minus = medianDeviation(bars.map((b) => b.minus));
  const plus = medianDeviation(bars.map((b) => b.plus));
  if (feature.startsWith("minus")) return plus;
  if (feature.startsWith("plus")) return minus;
  return Math.min(minus, plus);
}
