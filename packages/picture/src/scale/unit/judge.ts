import type { UnitSource } from "../../answers.ts";
import type { GraduationRow } from "../edge/graduations.ts";
import type { BarLengths } from "../edge/lengths.ts";
import { median } from "../numbers.ts";
import type { Division } from "./hierarchy.ts";
import type { UnitReading } from "./unit.ts";

/**
 * Whether a row of bars is a ruler's and its unit beyond doubt. `sure` readings are reported, `doubtful` ones with
 * their doubts as warnings and only where nothing sure was found, the rest not at all.
 */
export interface Judgement {
  readonly verdict: "sure" | "doubtful" | "binary" | "none";
  readonly division: Division | null;
  readonly doubts: readonly Doubt[];
  /** A word or the numerals name the unit: nothing beside can make tenths of an inch of millimetres. */
  readonly unitTold?: boolean;
  /** What settled the unit, where it was not the lengths of the bars. */
  readonly from?: UnitSource;
}

export interface Doubt {
  readonly says: string;
  /** What numerals can settle: too few graduations for their hierarchy, millimetres or tenths of an inch. */
  readonly about?: "few" | "tenths";
  /** Half-width of the relative interval that holds the other possibilities as well. */
  readonly u95: number;
}

/** Bayesian gain: over 300 drawn periodic things that are no ruler the highest was 22, of real rulers the lowest 59. */
const SURE_SCORE = 30;
const DOUBTFUL_SCORE = 18;
/** Odds of about thirty to one against the best reading of another size. */
const LEAST_LEAD = 7;
/** F1 of the bars' order; worn bars and numerals spoil a fifth. */
const LEAST_ORDER = 0.75;
/** One of seven misplaced. */
const CLEAR_ORDER = 0.9;
/** From halves to whole inches bars grow by up to half as much again as from quarters to halves (practice); read coarsely, by up to this. */
const MOST_STEP_GROWTH = 2.5;
/** Feet of the bars off their base line, in pitches (median). */
const MOST_BASE_SCATTER = 0.3;

/** Where the unit itself is in doubt, half of it and twice it must lie within the interval. */
const ANY_UNIT = 1;
export const CONTRADICTED_U95 = ANY_UNIT;
/** Tenths of an inch read as millimetres: true px/mm is 1/2.54 of the value. */
const TENTHS = 1 - 1 / 2.6; // and a little for the fit
/** Paper ruled by a press or a printer, never checked. */
const GRAPH_PAPER = 0.01;

export function judge(row: GraduationRow, lengths: BarLengths, units: readonly UnitReading[]): Judgement {
  const best = units[0];
  if (!best || best.score < DOUBTFUL_SCORE) return none;
  if (best.feature !== "strength" && best.baseScatter > MOST_BASE_SCATTER) return none;
  if (Math.max(...best.order) < LEAST_ORDER) return none;
  switch (best.division.name) {
    case "mm":
    case "half mm":
      return decimal(row, lengths, best);
    case "inch/16":
    case "inch/32":
      return inches(best);
    case "inch/8":
      return binary;
    case "mm, tens only":
      return tensOnly(row, lengths, best);
    default:
      return none; // fives alone cannot tell 1 mm from 2 mm; twenties and tens may be numerals
  }
}

/** Proved by what stands beside the bars (blocks, bars beyond): tens, and so millimetres, or tenths of an inch. */
export function provedTens(
  row: GraduationRow,
  lengths: BarLengths,
  division: Division,
  from: UnitSource,
): Judgement {
  return { ...judged(division, [...tenthsDoubt(row, lengths), ...curveDoubt(row)]), from };
}

const none: Judgement = { verdict: "none", division: null, doubts: [] };
/** Halves of halves: an inch scale, but which division only a second scale beside it can tell. */
const binary: Judgement = { verdict: "binary", division: null, doubts: [] };

function judged(division: Division, doubts: readonly Doubt[]): Judgement {
  return { verdict: doubts.length > 0 ? "doubtful" : "sure", division, doubts };
}

function decimal(row: GraduationRow, lengths: BarLengths, best: UnitReading): Judgement {
  if (best.lead < LEAST_LEAD) return none;
  const [tens, fives] = [best.counts[0]!, best.counts[1]!];
  const doubts: Doubt[] = [];
  if (best.feature === "strength") {
    if (!row.strip.open) return none; // thicker bars alone are no proof
    doubts.push({
      says: "Read from graph paper: its print is seldom checked, and it is taken as ruled in millimetres.",
      u95: GRAPH_PAPER,
    });
  } else if (best.division.pitchMm === 1) doubts.push(...tenthsDoubt(row, lengths));
  doubts.push(...curveDoubt(row));
  if (best.score < SURE_SCORE) {
    doubts.push({
      says: "The graduations are faint or few: compare the reading with the scale.",
      about: "few",
      u95: ANY_UNIT,
    });
  }
  if (tens < 2 || tens + fives < 4) {
    doubts.push({
      says: `Only ${tens + fives} long graduations are seen, too few to be sure of the unit.`,
      about: "few",
      u95: ANY_UNIT,
    });
  }
  return judged(best.division, doubts);
}

/**
 * The longest class tells sixteenths from eighths, and numerals that touch their bars imitate it: it must be in order, and
 * its bars longer than the next by about what these are longer than theirs, not by a numeral's height.
 */
function inches(best: UnitReading): Judgement {
  const [longest, second, third] = best.means as [number, number, number];
  const clear = best.lead >= LEAST_LEAD && best.score >= SURE_SCORE && best.counts[0]! >= 2;
  const steady = longest - second <= MOST_STEP_GROWTH * (second - third);
  return clear && steady && best.order[0] >= CLEAR_ORDER ? judged(best.division, []) : binary;
}

/** Every tenth bar longer and nothing at five: a ruler needs at least three tens to show that. */
function tensOnly(row: GraduationRow, lengths: BarLengths, best: UnitReading): Judgement {
  if (best.lead < LEAST_LEAD || best.counts[0]! < 3 || best.feature === "strength") return none;
  const doubts: Doubt[] = [...tenthsDoubt(row, lengths), ...curveDoubt(row)];
  if (best.score < SURE_SCORE) {
    doubts.push({
      says: "Only every tenth graduation is longer: compare the reading with the scale.",
      about: "few",
      u95: ANY_UNIT,
    });
  }
  return judged(best.division, doubts);
}

/** Degrees are divided by fives and tens as well. Rulers bow by less, also through a lens. */
const MOST_TURN_DEG = 8;

export function curveDoubt({ strip, graduations }: GraduationRow): Doubt[] {
  const a = strip.edge(graduations[0]!.s);
  const b = strip.edge(graduations.at(-1)!.s);
  const turn = (Math.atan2(a.x * b.y - a.y * b.x, a.x * b.x + a.y * b.y) * 180) / Math.PI;
  if (Math.abs(turn) < MOST_TURN_DEG) return [];
  return [{ says: "The graduations follow a curve: this may be a dial or a protractor.", u95: ANY_UNIT }];
}

/**
 * A millimetre's bar is 1.5 mm long or more, and at least 0.12 mm thick, on the rulers in use (practice); the same bars a
 * tenth of an inch apart are shorter than 1.5 pitches and, blur included, thinner than a fifth. Where the pixels are
 * too coarse for the thickness, the length alone raises the doubt.
 */
export function tenthsDoubt(row: GraduationRow, { bars }: BarLengths): Doubt[] {
  const lengths = bars.map((b) => b.minus + b.plus).sort((a, b) => a - b);
  const shortest = median(lengths.slice(0, Math.ceil(lengths.length / 2)));
  if (shortest >= 1.5 || (row.barWidth ?? 0) >= 0.2) return [];
  return [
    {
      says: "The bars are short and thin for their distance: these could be tenths of an inch.",
      about: "tenths",
      u95: TENTHS,
    },
  ];
}
