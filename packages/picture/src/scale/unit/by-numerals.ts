import type { EdgeReading } from "../edge-reading.ts";
import type { NumeralReading } from "../numerals/read-numerals.ts";
import { DIVISIONS, type Division, TENTHS } from "./hierarchy.ts";
import { CONTRADICTED_U95, curveDoubt, type Doubt, tenthsDoubt } from "./judge.ts";

/**
 * What numerals say of the graduations that they stand beside. They count units: ten graduations from one numeral to the
 * next are millimetres (or tenths of an inch, which only a word tells apart), sixteen are sixteenths of an inch.
 */
interface Said {
  readonly division: Division;
  /** A word names the unit, or the numerals count in tens as only millimetres are. */
  readonly unitTold: boolean;
  /** One numeral for each graduation and no word: centimetres or inches. */
  readonly wholeUnits: boolean;
}

/** Logarithms of odds: a proof by itself, and enough to bear out what the bars say. */
const PROVES = 8;
const BEARS_OUT = 4;
/** A unit's name among the numerals: of marks that are no lettering, one in fifty or fewer rows would show one. */
const NAMED = Math.log(50);
/** Numerals are at most 4.5 mm high (common practice, no source): higher than this many tenths of an inch they are none. */
const HIGH_FOR_TENTHS = 2;
/** Inches read as centimetres: true px/mm is 1/2.54 of the value. */
const WHOLE_UNITS_U95 = 1 - 1 / 2.6;
const SAME_SIZE = 0.02;

const named = (name: string): Division => DIVISIONS.find((d) => d.name === name) as Division;
const equal = (name: string, unit: Division["unit"], pitchMm: number): Division => {
  return { name, unit, pitchMm, periods: [1] };
};

/** The edge with what its numerals settle, or with the doubt that they raise. */
export function withNumerals(edge: EdgeReading, numerals: NumeralReading): EdgeReading {
  const { sequence, word } = numerals;
  const logOdds = (sequence?.logOdds ?? 0) + (word ? NAMED : 0);
  if (!sequence || logOdds < BEARS_OUT) return edge;
  const said = saidBy(numerals);
  if (!said) return edge;
  const { judgement } = edge;
  const seen = judgement.division;
  const proves = logOdds >= PROVES;
  if (seen && sameSize(seen, said.division)) {
    const settled = (about: Doubt["about"]) =>
      about === "few" ? true : about === "tenths" ? said.unitTold || highFor(numerals) : false;
    const left = judgement.doubts.filter(({ about }) => !settled(about));
    const judged = judgedAs(edge, seen, proves ? [...left, ...mirroredDoubt(numerals)] : left);
    return { ...judged, judgement: { ...judged.judgement, unitTold: proves && said.unitTold } };
  }
  // Halves of halves are an inch's already: the numerals need only count them.
  const counts = judgement.verdict === "binary" && said.division.unit === "inch";
  if (!proves && !counts) return edge;
  if (seen && said.division === TENTHS && sameSize(seen, named("mm"))) {
    return judgedAs(edge, TENTHS, [...curveDoubt(edge.row), ...mirroredDoubt(numerals)]);
  }
  if (judgement.verdict === "sure") return judgedAs(edge, seen!, [...judgement.doubts, CONTRADICTED]);
  return judgedAs(edge, said.division, [
    ...unitDoubts(edge, numerals, said),
    ...curveDoubt(edge.row),
    ...mirroredDoubt(numerals),
  ]);
}

const CONTRADICTED: Doubt = {
  says: "The numerals do not fit the long graduations that they stand beside.",
  u95: CONTRADICTED_U95,
};

function judgedAs(edge: EdgeReading, division: Division, doubts: readonly Doubt[]): EdgeReading {
  const verdict = doubts.length > 0 ? "doubtful" : "sure";
  const sameUnit = edge.judgement.division?.name === division.name;
  const from = sameUnit && edge.judgement.verdict === "sure" ? edge.judgement.from : "numerals";
  return { ...edge, judgement: { verdict, division, doubts, ...(from && { from }) } };
}

const sameSize = (a: Division, b: Division) => Math.abs(Math.log(a.pitchMm / b.pitchMm)) < SAME_SIZE;

function highFor({ sequence }: NumeralReading): boolean {
  return sequence!.tokens[0]!.height >= HIGH_FOR_TENTHS;
}

function unitDoubts({ row, lengths }: EdgeReading, numerals: NumeralReading, said: Said): Doubt[] {
  if (said.unitTold) return [];
  if (said.wholeUnits) {
    return [
      {
        says: "Each graduation counts one, but whether centimetres or inches is not written beside them.",
        u95: WHOLE_UNITS_U95,
      },
    ];
  }
  const { pitchMm } = said.division;
  if (pitchMm === 1 && !highFor(numerals)) return tenthsDoubt(row, lengths);
  return [];
}

/** Said of a scale whose numerals are turned over. */
export const MIRRORED_SAYS =
  "The numerals are mirrored: the scale was photographed in a mirror, or the picture was turned over.";

function mirroredDoubt({ sequence }: NumeralReading): Doubt[] {
  if (!sequence!.mirrored) return [];
  return [{ says: MIRRORED_SAYS, u95: 0 }];
}

/** Null where the growth of the numerals belongs to no scale in use. */
function saidBy({ sequence, word }: NumeralReading): Said | null {
  const growth = Math.abs(sequence!.perGraduation);
  const { step } = sequence!;
  const per = Math.round(1 / growth);
  const inches = word?.unit === "inch";
  const metric = word !== null && !inches;
  const told = (division: Division): Said => ({ division, unitTold: true, wholeUnits: false });
  // Numerals in millimetres: 10, 20, 30 or 5, 10, 15.
  if (step % 5 === 0 && growth >= 0.5 && !inches) {
    if (growth === 0.5) return told(named("half mm"));
    return told(growth === 1 ? named("mm") : equal(`${growth} mm`, "mm", growth));
  }
  switch (per) {
    case 1:
      if (growth !== 1) return null;
      if (inches) return told(equal("inch", "inch", 25.4));
      return { division: equal("cm", "cm", 10), unitTold: metric, wholeUnits: !metric };
    case 10:
      if (inches) return told(TENTHS);
      return { division: named("mm"), unitTold: metric, wholeUnits: false };
    case 20:
      return inches ? null : { division: named("half mm"), unitTold: metric, wholeUnits: false };
    case 2:
    case 5:
      if (inches) return null;
      return { division: equal(`${10 / per} mm`, "mm", 10 / per), unitTold: metric, wholeUnits: false };
    case 8:
    case 16:
    case 32:
      if (metric) return null;
      return told(named(`inch/${per}`));
    default:
      return null;
  }
}
