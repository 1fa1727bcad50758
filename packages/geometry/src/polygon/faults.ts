import { placeInRing } from "./contains.ts";
import { crossingsBetween, type SelfCrossing, selfCrossingsOf } from "./crossings.ts";
import type { Region, Ring } from "./ring.ts";
import { signedAreaOf } from "./ring.ts";

/** A long list of crossings helps nobody: the first few are named, the rest counted. */
const NAMED_AT_MOST = 3;
/** Counting stops here: whoever scribbles across the outline a thousand times draws it again. */
const COUNTED_AT_MOST = 1000;
/** A spike's foot touches the edge that it stands on: the cause is named before what follows from it. */
const WORST_FIRST = ["crosses", "overlaps", "touches"];

/**
 * What is wrong with a region, in words for the person who drew it; empty when it can be measured. Named: points
 * that are not numbers, too few points, points that repeat, no area, an outline that crosses, touches or folds back
 * over itself (a spike), holes outside the outline, across its edge, or within one another.
 */
export function namedFaults(region: Region): readonly string[] {
  const rings = [
    { name: "the outline", ring: region.outline },
    ...region.holes.map((ring, i) => ({ name: `hole ${i + 1}`, ring })),
  ];
  const own = rings.flatMap(({ name, ring }) => faultsOfRing(name, ring));
  // Rings that are not simple have no inside to speak of.
  return own.length > 0 ? own : faultsOfHoles(region);
}

/** Whether `namedFaults` finds none. */
export const isValid = (region: Region): boolean => namedFaults(region).length === 0;

function faultsOfRing(name: string, ring: Ring): string[] {
  const notNumbers = ring.findIndex((p) => !Number.isFinite(p.x) || !Number.isFinite(p.y));
  if (notNumbers >= 0) return [`${name}: point ${notNumbers} is not a number`];
  const faults: string[] = [];
  const repeated = ring.findIndex((p, i) => {
    const q = ring[(i + 1) % ring.length]!;
    return ring.length > 1 && p.x === q.x && p.y === q.y;
  });
  if (repeated >= 0) faults.push(`${name}: point ${repeated} is repeated`);
  const distinct = new Set(ring.map((p) => `${p.x} ${p.y}`)).size;
  if (distinct < 3) return [...faults, `${name} has ${distinct} different points; three are needed`];
  const crossings = selfCrossingsOf(ring, COUNTED_AT_MOST);
  faults.push(...named(crossings, (crossing) => `${name} ${wordsFor(crossing.kind, crossing.edges, ring)}`));
  if (crossings.length === 0 && signedAreaOf(ring) === 0) faults.push(`${name} encloses no area`);
  return faults;
}

function wordsFor(
  kind: "crosses" | "touches" | "overlaps",
  [i, j]: readonly [number, number],
  ring: Ring,
): string {
  if (kind !== "overlaps") return `${kind} itself`;
  const isSpike = j - i === 1 || (i === 0 && j === ring.length - 1);
  return isSpike ? "has a spike" : "runs over itself";
}

function faultsOfHoles({ outline, holes }: Region): string[] {
  const faults: string[] = [];
  for (const [i, hole] of holes.entries()) {
    const name = `hole ${i + 1}`;
    const crossings = crossingsBetween(hole, outline, COUNTED_AT_MOST);
    if (crossings.length > 0) faults.push(...named(crossings, ({ kind }) => `${name} ${kind} the outline`));
    else if (placeInRing(outline, hole[0]!) !== "inside") faults.push(`${name} lies outside the outline`);
    for (const [k, other] of holes.slice(0, i).entries()) {
      const between = crossingsBetween(hole, other, COUNTED_AT_MOST);
      if (between.length > 0) faults.push(...named(between, ({ kind }) => `${name} ${kind} hole ${k + 1}`));
      else if (placeInRing(other, hole[0]!) === "inside") faults.push(`${name} lies within hole ${k + 1}`);
      else if (placeInRing(hole, other[0]!) === "inside") faults.push(`hole ${k + 1} lies within ${name}`);
    }
  }
  return faults;
}

function named(found: readonly SelfCrossing[], words: (one: SelfCrossing) => string): string[] {
  const faults = found
    .toSorted((p, q) => WORST_FIRST.indexOf(p.kind) - WORST_FIRST.indexOf(q.kind))
    .slice(0, NAMED_AT_MOST)
    .map((one) => `${words(one)} near (${one.at.x.toFixed(1)}, ${one.at.y.toFixed(1)})`);
  const rest = found.length - faults.length;
  const places = found.length >= COUNTED_AT_MOST ? `${rest} or more places` : `${rest} more places`;
  return rest > 0 ? [...faults, `… and in ${places}`] : faults;
}
