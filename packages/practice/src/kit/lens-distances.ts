import { objectDistanceMm } from "@samescale/optics";
import type { Lens } from "./item.ts";

/** Distances of one lens as far as somebody measured them. */
export interface LensMeasured {
  readonly magnification: number;
  readonly frontToSubjectMm: number;
}

/** By how much a ratio may lie beyond the measured ones before nothing is said of it: a quarter. */
const BEYOND = 1.25;

/**
 * From the front of the lens to the subject at a ratio, from measurements at other ratios: along straight lines in
 * 1/m, as u = f(1 + 1/m) is one while the focal length in force stays. With one measurement the engraved focal length
 * gives the line. Null without measurements, or far beyond them.
 * @source Ray2002 (object distance); the interpolation is our own
 */
export function frontToSubjectMm(lens: Lens, magnification: number): number | null {
  const known = measuredOf(lens);
  const [first, ...more] = known;
  if (!first) return null;
  if (more.length === 0) {
    const frontMm = objectDistanceMm(lens.focalMm, first.magnification) - first.frontToSubjectMm;
    const distanceMm = objectDistanceMm(lens.focalMm, magnification) - frontMm;
    return distanceMm > 0 ? distanceMm : null;
  }
  const last = known.at(-1)!;
  if (magnification > first.magnification * BEYOND || magnification < last.magnification / BEYOND)
    return null;
  const after = known.findIndex((one) => one.magnification <= magnification);
  const upper = Math.max(1, after < 0 ? known.length - 1 : after);
  const [near, far] = [known[upper - 1]!, known[upper]!];
  const part =
    (1 / magnification - 1 / near.magnification) / (1 / far.magnification - 1 / near.magnification);
  const distanceMm = near.frontToSubjectMm + part * (far.frontToSubjectMm - near.frontToSubjectMm);
  return distanceMm > 0 ? distanceMm : null;
}

/** Largest ratio first; of two at one ratio the later one counts. */
function measuredOf({ measured }: Lens): LensMeasured[] {
  const byRatio = new Map(measured.map(({ ratio, frontToSubjectMm: mm }) => [ratio, mm]));
  return [...byRatio]
    .map(([magnification, mm]) => ({ magnification, frontToSubjectMm: mm }))
    .sort((a, b) => b.magnification - a.magnification);
}
