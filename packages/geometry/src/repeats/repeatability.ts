import { meanOf } from "./spread.ts";

/** One measurement of one thing by one person. */
export interface Repeat {
  readonly thing: string;
  readonly person: string;
  readonly value: number;
}

/** What a department's own repeats say of its measuring, in the unit of the values. */
export interface Repeatability {
  readonly things: number;
  readonly persons: number;
  readonly repeats: number;
  /** Of one person measuring the same thing again. */
  readonly withinPersonSd: number;
  readonly withinDegreesOfFreedom: number;
  /** What changing the person adds; null with one person, 0 where their means differ by no more than chance. */
  readonly betweenPersonSd: number | null;
  /** Of one measurement by any of these persons; that within a person, where only one measured. */
  readonly anyPersonSd: number;
  /** Effective (Welch and Satterthwaite); each thing counts on its own for how persons differ. */
  readonly anyPersonDegreesOfFreedom: number;
  /** Smallest change of one thing, measured twice, that is larger than measuring explains (95 %). */
  readonly smallestChangeSamePerson: number;
  /** The same when another person measures; null with one person. */
  readonly smallestChangeAnyPerson: number | null;
}

/**
 * Standard deviations within and between persons from repeats: within, pooled over every thing and person with two
 * or more values; between, from the means of persons on the same thing, less what their own scatter contributes
 * (method of moments). Smallest detectable change: 1.96 sqrt(2) sd.
 * Scatter in proportion to the size belongs on logarithms: pass logarithms, and read the results as proportions.
 * @source BlandAltman1986 (repeatability), ISO5725, JCGM100 annex G.4.1
 * @returns null where nobody measured anything twice
 */
export function repeatabilityOf(repeats: readonly Repeat[]): Repeatability | null {
  const cells = groups(repeats, ({ thing, person }) => JSON.stringify([thing, person]));
  let squares = 0;
  let degrees = 0;
  for (const cell of cells.values()) {
    const mean = meanOf(cell.map((r) => r.value));
    squares += cell.reduce((sum, r) => sum + (r.value - mean) ** 2, 0);
    degrees += cell.length - 1;
  }
  if (degrees === 0) return null;
  const within = squares / degrees;
  const persons = new Set(repeats.map((r) => r.person)).size;
  const between = persons > 1 ? betweenVariance(repeats, within) : null;
  const any = within + (between?.variance ?? 0);
  const smallest = (variance: number) => 1.96 * Math.sqrt(2 * variance);
  return {
    things: new Set(repeats.map((r) => r.thing)).size,
    persons,
    repeats: repeats.length,
    withinPersonSd: Math.sqrt(within),
    withinDegreesOfFreedom: degrees,
    betweenPersonSd: between && Math.sqrt(between.variance),
    anyPersonSd: Math.sqrt(any),
    anyPersonDegreesOfFreedom: between?.variance ? effectiveDegrees(any, between, degrees) : degrees,
    smallestChangeSamePerson: smallest(within),
    smallestChangeAnyPerson: between && smallest(any),
  };
}

interface Between {
  readonly variance: number;
  /** Mean square of persons' means on the same thing, and its degrees of freedom. */
  readonly ofMeans: number;
  readonly degrees: number;
}

/** Null where no thing was measured by two persons. */
function betweenVariance(repeats: readonly Repeat[], within: number): Between | null {
  let squares = 0;
  let degrees = 0;
  let scatter = 0;
  for (const ofThing of groups(repeats, (r) => r.thing).values()) {
    const means = [...groups(ofThing, (r) => r.person).values()].map((own) => ({
      mean: meanOf(own.map((r) => r.value)),
      count: own.length,
    }));
    if (means.length < 2) continue;
    const centre = meanOf(means.map((m) => m.mean));
    squares += means.reduce((sum, m) => sum + (m.mean - centre) ** 2, 0);
    degrees += means.length - 1;
    // What the scatter of a person's few values adds to the spread of the means.
    scatter += meanOf(means.map((m) => within / m.count)) * (means.length - 1);
  }
  if (degrees === 0) return null;
  return { variance: Math.max(0, (squares - scatter) / degrees), ofMeans: squares / degrees, degrees };
}

/** The sum is that of two mean squares: the persons' means' own, and what is left of the scatter within. */
function effectiveDegrees(sum: number, { ofMeans, degrees }: Between, withinDegrees: number): number {
  return sum ** 2 / (ofMeans ** 2 / degrees + (sum - ofMeans) ** 2 / withinDegrees);
}

function groups<T>(all: readonly T[], keyOf: (one: T) => string): Map<string, T[]> {
  const found = new Map<string, T[]>();
  for (const one of all) {
    const key = keyOf(one);
    const group = found.get(key);
    if (group) group.push(one);
    else found.set(key, [one]);
  }
  return found;
}
