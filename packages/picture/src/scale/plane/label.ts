import { greyAt } from "../edge/sample.ts";
import { median } from "../numbers.ts";
import { classOf } from "../unit/hierarchy.ts";
import type { SettledEdge } from "../unit/two-sided.ts";

/** Graduated length of the short labels that are stuck beside a find: 2 cm. Common practice, no source. */
const LABEL_MM = 20;
/** A graduation may be lost at each end. */
const OFF_MM = 1.2;
/** The label's body ends within half its graduated length. */
const MOST_MARGIN_MM = 10;
const LEAST_MARGIN_MM = 0.5;
const LEAST_BARE_MM = 1.5;
const STEP_MM = 0.25;
/** The ground beside the label differs from it by this part of the bars' contrast, over this long. */
const OTHER_TONE = 0.25;
const OTHER_MM = 1;

/** Whether an edge is a 2 cm label's: that long, from one long graduation to another, on a body that ends right after. */
export function isLabel({ edge: { row, units }, division }: SettledEdge): boolean {
  const { graduations } = row;
  const [first, last] = [graduations[0]!.k, graduations.at(-1)!.k];
  if (Math.abs((last - first) * division.pitchMm - LABEL_MM) > OFF_MM) return false;
  const best = units[0];
  if (!best) return false;
  const longAt = (k: number) =>
    [-1, 0, 1].some((d) => classOf(k + d - best.phase, best.division.periods) === 0);
  if (!longAt(first) || !longAt(last)) return false;
  const ends = [bodyBeyond(row, division.pitchMm, first, -1), bodyBeyond(row, division.pitchMm, last, 1)];
  return ends.includes("ends") && !ends.includes("goes on");
}

/**
 * Beyond graduation `end` the tone between the bars goes on for a margin and then is another; or the picture ends first,
 * where one more graduation would have been seen.
 */
function bodyBeyond(
  { strip, lattice, level, graduations, contrast }: SettledEdge["edge"]["row"],
  pitchMm: number,
  end: number,
  sense: 1 | -1,
): "ends" | "cut" | "goes on" {
  const tone = (k: number) => greyAt(level, strip.at(lattice.at(k), 0));
  const body = median(graduations.slice(1).map(({ k }) => tone(k - 0.5)));
  let other = 0;
  for (let mm = LEAST_MARGIN_MM; mm <= MOST_MARGIN_MM + OTHER_MM; mm += STEP_MM) {
    const grey = tone(end + (sense * mm) / pitchMm);
    if (Number.isNaN(grey)) return mm > LEAST_BARE_MM ? "cut" : "goes on";
    other = Math.abs(grey - body) > OTHER_TONE * contrast ? other + STEP_MM : 0;
    if (other >= OTHER_MM) return "ends";
  }
  return "goes on";
}
