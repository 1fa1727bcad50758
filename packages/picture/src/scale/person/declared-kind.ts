import { type EdgeReading, middleNumber } from "../edge-reading.ts";
import { DIVISIONS, type Division, TENTHS } from "../unit/hierarchy.ts";
import type { Doubt } from "../unit/judge.ts";
import { type SettledEdge, withContradictions } from "../unit/two-sided.ts";
import type { ScaleKind } from "./kinds.ts";

/**
 * The kind of scale that a person says lies in the picture: it settles what its finest marks are apart, which equal bars,
 * blocks and tenths of an inch cannot tell. What the marks themselves show is still held against it.
 */
const named = (name: string): Division => DIVISIONS.find((d) => d.name === name) as Division;
const equal = (name: string, unit: Division["unit"], pitchMm: number): Division => {
  return { name, unit, pitchMm, periods: [1] };
};

const DECLARED: Readonly<
  Record<ScaleKind, { readonly marks: EdgeReading["marks"]; readonly division: Division }>
> = {
  mm: { marks: "bars", division: named("mm") },
  "half-mm": { marks: "bars", division: named("half mm") },
  cm: { marks: "lone bars", division: equal("cm", "cm", 10) },
  "inch-8": { marks: "bars", division: named("inch/8") },
  "inch-10": { marks: "bars", division: TENTHS },
  "inch-16": { marks: "bars", division: named("inch/16") },
  "inch-32": { marks: "bars", division: named("inch/32") },
  "blocks-1mm": { marks: "blocks", division: equal("blocks of 1 mm", "mm", 1) },
  "blocks-5mm": { marks: "blocks", division: equal("blocks of 5 mm", "mm", 5) },
  "blocks-10mm": { marks: "blocks", division: equal("blocks of 10 mm", "cm", 10) },
  "blocks-half-inch": { marks: "blocks", division: equal("blocks of half an inch", "inch", 12.7) },
  "blocks-inch": { marks: "blocks", division: equal("blocks of an inch", "inch", 25.4) },
};

/** Odds as for a unit that is read, see judge.ts: at least what is doubtful shows, only what is sure contradicts. */
const SHOWS_SCORE = 18;
const CONTRADICTS_SCORE = 30;
const CONTRADICTS_LEAD = 7;
const SAME_SIZE = 0.02;
/** Bars of one length: more of them, and neater, than texture offers by chance. */
const FEWEST_EQUAL = 15;
const MOST_EQUAL_RMS_PITCH = 0.06;
/** Of one leg against the other at a lean of 45 degrees, with a margin. */
const MOST_FORESHORTENING = 1.6;
/** As marks are searched for one by one where they are far apart. */
const FEWEST_FAR_APART = 4;

/** Whether its marks lie too far apart to be found with fine graduations. */
export const isFarApart = (kind: ScaleKind): boolean => DECLARED[kind].marks !== "bars";

/** The edges that are what the person says, beside those that are settled by themselves. */
export function declaredEdges(
  edges: readonly EdgeReading[],
  settled: readonly SettledEdge[],
  kind: ScaleKind,
): SettledEdge[] {
  const { marks, division } = DECLARED[kind];
  const candidates = edges.filter((e) => e.marks === marks);
  const taken = marks === "bars" ? barsThatFit(candidates, division) : farApart(candidates, division);
  const others = settled.filter((s) => !taken.some(({ edge }) => edge === s.edge));
  return withContradictions([
    ...taken.map(({ edge, doubts }): SettledEdge => {
      return { edge, division, sure: doubts.length === 0, doubts, unitFrom: "person" };
    }),
    ...others,
  ]);
}

interface Taken {
  readonly edge: EdgeReading;
  readonly doubts: readonly Doubt[];
}

function barsThatFit(edges: readonly EdgeReading[], division: Division): Taken[] {
  const showing = edges.filter((e) => shows(e, division) || judgedAs(e, division));
  if (showing.length > 0) return showing.map((edge) => ({ edge, doubts: [] }));
  const contradicting = edges.flatMap((edge) => {
    const seen = seenOtherwise(edge, division);
    return seen ? [{ edge, doubts: [otherwise(division, seen)] }] : [];
  });
  if (contradicting.length > 0) return contradicting;
  const neat = edges.filter(({ row }) => {
    return row.lattice.rmsPx <= MOST_EQUAL_RMS_PITCH * Math.abs(row.lattice.spacing(middleNumber(row)));
  });
  return longest(neat, FEWEST_EQUAL).map((edge) => ({ edge, doubts: [UNCONFIRMED] }));
}

/** Blocks are what they look like; bars far apart may be something else. */
function farApart(edges: readonly EdgeReading[], division: Division): Taken[] {
  return longest(edges, FEWEST_FAR_APART).map((edge) => {
    const seen = seenOtherwise(edge, division);
    if (seen) return { edge, doubts: [otherwise(division, seen)] };
    const confirmed = edge.marks === "blocks" || edge.judgement.division !== null;
    return { edge, doubts: confirmed ? [] : [UNCONFIRMED] };
  });
}

/** The row that covers most of the picture, and those with marks as far apart: the legs of an L, a second scale. */
function longest(edges: readonly EdgeReading[], fewest: number): EdgeReading[] {
  const enough = edges.filter((e) => e.row.graduations.length >= fewest);
  const pitch = ({ row }: EdgeReading) => Math.abs(row.lattice.spacing(middleNumber(row)));
  const length = (e: EdgeReading) => e.row.graduations.length * pitch(e);
  const main = [...enough].sort((a, b) => length(b) - length(a))[0];
  if (!main) return [];
  return enough.filter((e) => Math.abs(Math.log(pitch(e) / pitch(main))) < Math.log(MOST_FORESHORTENING));
}

/** By numerals or by what stands beside it. */
function judgedAs({ judgement }: EdgeReading, { pitchMm }: Division): boolean {
  return judgement.division !== null && Math.abs(judgement.division.pitchMm / pitchMm - 1) < SAME_SIZE;
}

/** Long bars where the division has them; fewer classes than it has may be seen. */
function shows({ units }: EdgeReading, division: Division): boolean {
  const best = units[0];
  return best !== undefined && best.score >= SHOWS_SCORE && partOf(best.division, division);
}

const partOf = (seen: Division, { periods }: Division) => seen.periods.every((p) => periods.includes(p));

/** The division that the marks themselves show beyond doubt, where it is not the one named. */
function seenOtherwise({ units, judgement }: EdgeReading, said: Division): Division | null {
  const best = units[0];
  const clear = best && best.score >= CONTRADICTS_SCORE && best.lead >= CONTRADICTS_LEAD;
  const seen = judgement.verdict === "sure" ? judgement.division : clear ? best.division : null;
  if (!seen) return null;
  // The lengths of bars tell how they are divided, numerals and blocks how far apart they are.
  const told = judgement.verdict === "sure" && (judgement.from ?? "graduations") !== "graduations";
  const agrees = told ? Math.abs(seen.pitchMm / said.pitchMm - 1) < SAME_SIZE : partOf(seen, said);
  return agrees ? null : seen;
}

function otherwise(said: Division, seen: Division): Doubt {
  return {
    says: `You named a scale divided in ${said.name}, but what is seen on it looks like ${seen.name}.`,
    // px/mm by what is seen is this ratio times the value.
    u95: 1.01 * Math.abs(said.pitchMm / seen.pitchMm - 1) + 0.01,
  };
}

const UNCONFIRMED: Doubt = {
  says: "The kind of scale is what you named: nothing on it was read that would confirm it.",
  u95: 0,
};
