import { theilSen } from "../numbers.ts";
import { type Graduation, type GraduationRow, measuredBar } from "./graduations.ts";
import { profileOf } from "./profile.ts";
import type { Strip } from "./strip.ts";

/**
 * How the bars fan, from the bars themselves. The stations of the track tell their direction for the whole row only, as
 * there are few; where a picture leans, the bars of its ends would then be measured askew, and those that do not fill
 * the band would seem to stand beside their place.
 */
export function fanned(row: GraduationRow): Strip {
  const { strip } = row;
  if (strip.open) return strip; // lines that run through: their direction is that of the edge itself
  const [from, to] = strip.band;
  const middle = 0.5 * (from + to);
  const low = barsIn(row, [from, middle]);
  const high = barsIn(row, [middle, to]);
  const apart = 0.5 * (to - from);
  const lean = low.map((bar, i) => (high[i]!.s - bar.s) / apart);
  const { at0, slope } = theilSen(
    row.graduations.map((g) => g.s),
    lean,
  );
  if (!Number.isFinite(at0 + slope)) return strip;
  const bar: Strip["bar"] = (s) => {
    const [b, e, shear] = [strip.bar(s), strip.edge(s), at0 + slope * s];
    const [x, y] = [b.x + shear * e.x, b.y + shear * e.y];
    const length = Math.hypot(x, y);
    return { x: x / length, y: y / length };
  };
  return {
    ...strip,
    bar,
    at(s, o) {
      const [p, b] = [strip.at(s, 0), bar(s)];
      return { x: p.x + o * b.x, y: p.y + o * b.y };
    },
  };
}

function barsIn(
  { level, strip, polarity, graduations }: GraduationRow,
  band: readonly [number, number],
): Graduation[] {
  const pitch = strip.pitchPx;
  const ends = [graduations[0]!.s, graduations.at(-1)!.s];
  const profile = profileOf(level, strip, Math.min(...ends) - pitch, Math.max(...ends) + pitch, band, 4);
  return graduations.map(({ k, s }) => measuredBar(profile, strip.pitchAt(s), polarity, k, s));
}
