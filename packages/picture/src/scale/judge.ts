import type { GraduationRow } from "./graduations.ts";
import type { BarLengths } from "./lengths.ts";
import { median } from "./strip.ts";
import type { UnitReading } from "./unit.ts";

/**
 * Whether a row of bars is a ruler's and its unit beyond doubt. `sure` readings are reported, `doubtful` ones with
 * their doubts as warnings and only where nothing sure was found, the rest not at all.
 */
export interface Judgement {
  readonly verdict: "sure" | "doubtful" | "binary" | "none";
  readonly doubts: readonly string[];
}

/** Bayesian gain: over 300 drawn periodic things that are no ruler the highest was 22, of real rulers the lowest 59. */
const SURE_SCORE = 30;
const DOUBTFUL_SCORE = 18;
/** Odds of about thirty to one against the best reading of another size. */
const LEAST_LEAD = 7;
/** F1 of the bars' order; worn bars and numerals spoil a fifth. */
const LEAST_ORDER = 0.75;
/** Feet of the bars off their base line, in pitches (median). */
const MOST_BASE_SCATTER = 0.3;

export function judge(row: GraduationRow, lengths: BarLengths, units: readonly UnitReading[]): Judgement {
  const best = units[0];
  if (!best || best.score < DOUBTFUL_SCORE) return none;
  if (best.baseScatter > MOST_BASE_SCATTER) return none;
  if (Math.max(...best.order) < LEAST_ORDER) return none;
  switch (best.division.name) {
    case "mm":
    case "half mm":
      return decimal(row, lengths, best);
    case "inch/16":
    case "inch/32":
      return best.lead >= LEAST_LEAD && best.score >= SURE_SCORE && best.counts[0]! >= 2 ? sure : binary;
    case "inch/8":
      return binary;
    case "mm, tens only":
      return tensOnly(best);
    default:
      return none; // fives alone cannot tell 1 mm from 2 mm; twenties and tens may be numerals
  }
}

const none: Judgement = { verdict: "none", doubts: [] };
const sure: Judgement = { verdict: "sure", doubts: [] };
/** Halves of halves: an inch scale, but which division only a second scale beside it can tell. */
const binary: Judgement = { verdict: "binary", doubts: [] };

function decimal(row: GraduationRow, lengths: BarLengths, best: UnitReading): Judgement {
  if (best.lead < LEAST_LEAD) return none;
  const [tens, fives] = [best.counts[0]!, best.counts[1]!];
  const doubts: string[] = [];
  if (best.feature === "strength") {
    if (!linesCross(lengths)) return none;
    doubts.push(
      "Read from graph paper: its print is seldom checked, and it is taken as ruled in millimetres.",
    );
  }
  if (best.score < SURE_SCORE)
    doubts.push("The graduations are faint or few: compare the reading with the scale.");
  if (tens < 2 || tens + fives < 4) {
    doubts.push(`Only ${tens + fives} long graduations are seen, too few to be sure of the unit.`);
  }
  if (looksLikeTenths(row, lengths)) {
    doubts.push("The bars are short and thin for their distance: these could be tenths of an inch.");
  }
  return { verdict: doubts.length > 0 ? "doubtful" : "sure", doubts };
}

/** Every tenth bar longer and nothing at five: a ruler needs at least three tens to show that. */
function tensOnly(best: UnitReading): Judgement {
  if (best.lead < LEAST_LEAD || best.counts[0]! < 3 || best.feature === "strength") return none;
  const doubts =
    best.score < SURE_SCORE
      ? ["Only every tenth graduation is longer: compare the reading with the scale."]
      : [];
  return { verdict: doubts.length > 0 ? "doubtful" : "sure", doubts };
}

/** Bars of one length that run on both sides: the lines of a grid. */
function linesCross({ bars }: BarLengths): boolean {
  return median(bars.map((b) => b.minus)) > 5 && median(bars.map((b) => b.plus)) > 5;
}

/**
 * A millimetre's bar is 1.5 mm long or more and at least 0.12 mm thick on the rulers in use (practice); the same
 * bars a tenth of an inch apart are shorter than 1.5 pitches and thinner than an eighth.
 */
function looksLikeTenths(row: GraduationRow, { bars }: BarLengths): boolean {
  const lengths = bars.map((b) => b.minus + b.plus).sort((a, b) => a - b);
  const shortest = median(lengths.slice(0, Math.ceil(lengths.length / 2)));
  return shortest < 1.5 && row.barWidth !== null && row.barWidth < 0.125;
}
