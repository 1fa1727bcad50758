import { type Agreement, agreementOf } from "./agreement.ts";
import { type IntraclassOfTable, intraclassOf } from "./intraclass.ts";
import { type Repeatability, repeatabilityOf } from "./repeatability.ts";
import { meanOf } from "./spread.ts";

/** One outline of one thing by one person, as it was measured. */
export interface OutlineRepeat {
  readonly thing: string;
  readonly person: string;
  readonly areaMm2: number;
  readonly perimeterMm: number;
}

/** What outlines drawn again say of how well edges are placed and areas known. */
export interface OutlineRepeatability {
  /** How far out or in a whole edge is drawn, mm: area over the thing's mean perimeter. */
  readonly edgeMm: Repeatability;
  /** Logarithms of the areas: standard deviations are proportions. */
  readonly logArea: Repeatability;
  /** Two persons only: the second's logarithms of area less the first's, each person's mean per thing. */
  readonly agreement: { readonly persons: readonly [string, string]; readonly logArea: Agreement } | null;
  /** Of the areas, over the things that every person outlined. */
  readonly intraclass: IntraclassOfTable | null;
}

/**
 * Repeatability of outlines. An error of the edge is about as wide on a small wound as on a large one, so that it carries
 * over to the next; an error of the area does not.
 * @source BlandAltman1986 (agreement, repeatability), ShroutFleiss1979 (intraclass correlation)
 * @returns null where nobody outlined anything twice
 */
export function outlineRepeatabilityOf(outlines: readonly OutlineRepeat[]): OutlineRepeatability | null {
  const perimeters = Map.groupBy(outlines, (o) => o.thing);
  const perimeterOfThing = new Map(
    [...perimeters].map(([thing, all]) => [thing, meanOf(all.map((o) => o.perimeterMm))]),
  );
  const repeatabilityIn = (read: (o: OutlineRepeat) => number) =>
    repeatabilityOf(outlines.map((o) => ({ thing: o.thing, person: o.person, value: read(o) })));
  const edgeMm = repeatabilityIn((o) => o.areaMm2 / perimeterOfThing.get(o.thing)!);
  const logArea = repeatabilityIn((o) => Math.log(o.areaMm2));
  if (!edgeMm || !logArea) return null;
  const table = meansByPerson(outlines);
  return {
    edgeMm,
    logArea,
    agreement: agreementOfTwo(table),
    intraclass: intraclassOf(table.rows.map((row) => row.map(Math.exp))),
  };
}

interface Table {
  readonly persons: readonly string[];
  /** A row per thing that every person outlined: each person's mean logarithm of its area. */
  readonly rows: readonly (readonly number[])[];
}

function meansByPerson(outlines: readonly OutlineRepeat[]): Table {
  const persons = [...new Set(outlines.map((o) => o.person))].sort();
  const rows = [...Map.groupBy(outlines, (o) => o.thing).values()].flatMap((ofThing) => {
    const row = persons.map((person) => {
      const own = ofThing.filter((o) => o.person === person);
      return own.length > 0 ? meanOf(own.map((o) => Math.log(o.areaMm2))) : null;
    });
    return row.every((mean) => mean !== null) ? [row] : [];
  });
  return { persons, rows };
}

function agreementOfTwo({ persons, rows }: Table): OutlineRepeatability["agreement"] {
  const [one, other, ...more] = persons;
  if (one === undefined || other === undefined || more.length > 0) return null;
  const logArea = agreementOf(rows.map(([a, b]) => [a!, b!]));
  return logArea && { persons: [one, other], logArea };
}
