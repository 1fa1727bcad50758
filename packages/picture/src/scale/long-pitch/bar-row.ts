import type { Graduation, GraduationRow } from "../edge/graduations.ts";
import { fitLattice } from "../edge/lattice.ts";
import { median } from "../numbers.ts";
import type { Level } from "../search/pyramid.ts";
import { partOf, type RowProfile, rowProfile } from "./row-profile.ts";
import { placeOn, stripThrough } from "./run-strip.ts";
import type { Run } from "./runs.ts";

/** Fewer are found by chance among letters and hairs. */
const FEWEST = 5;
/** Scatter of the bars about their lattice, in pitches and pixels. */
const MOST_RMS = 0.005;
const MOST_RMS_PX = 0.3;
/** Half the stretch in which a bar's middle is sought, in lengths of the bars: they are thin. */
const HALF_WIDTH = 0.3;
/** Only the upper part of a bar counts for its middle: shading at its foot would pull. */
const FLOOR = 0.4;
/** Between two bars nothing stands out by more than this part of their contrast, in most of the gaps. */
const MOST_BETWEEN = 0.4;
const BETWEEN = [0.12, 0.88] as const;
const LEAST_EMPTY_SHARE = 0.8;
const BAND = 0.35;
/** How far beyond the bars that were found others are looked for, and what belongs to them, in pitches. */
const BEYOND = 12;
const MOST_OFF = 0.05;
/** Contrast against the others'. */
const FAINT = 0.4;

/** Bars of one length far apart, as of a scale that divides centimetres no further; null when they are none. */
export function barRow(
  levels: readonly Level[],
  level: Level,
  { marks }: Run,
  polarity: -1 | 1,
): GraduationRow | null {
  const numbers = marks.map(({ k }) => k);
  const seen = marks.map(({ mark }) => mark);
  const [a, b] = [seen[0]!, seen.at(-1)!];
  const pitch = Math.hypot(b.x - a.x, b.y - a.y) / (numbers.at(-1)! - numbers[0]!);
  const length = median(seen.map((m) => m.length)) * level.scale;
  const strip = { ...stripThrough(level, seen, pitch), band: [-BAND * length, BAND * length] as const };
  const profileOver = (pitches: number) => {
    const margin = pitches * strip.pitchPx;
    return rowProfile(levels[0]!, strip, strip.from - margin, strip.to + margin);
  };
  const half = HALF_WIDTH * length;
  const near = profileOver(0.5);
  const places = seen.map((m) => placeOn(strip, m.x * level.scale, m.y * level.scale));
  const first = fitted(
    places.flatMap((s, i) => {
      const bar = barNear(near, s, half, polarity);
      return bar ? [{ k: numbers[i]!, ...bar }] : [];
    }),
  );
  if (!first || emptyShare(near, first) < LEAST_EMPTY_SHARE) return null;
  const wide = profileOver(BEYOND);
  const all = fitted(beyond(wide, first, half, polarity)) ?? first;
  return {
    strip,
    level: levels[0]!,
    polarity,
    ...all,
    contrast: 255 * median(all.graduations.map((g) => g.contrast)),
    barWidth: null,
  };
}

type Fitted = Pick<GraduationRow, "lattice" | "graduations">;

function fitted(bars: readonly Graduation[]): Fitted | null {
  const lattice = fitLattice(
    bars.map((g) => g.k),
    bars.map((g) => g.s),
  );
  if (!lattice) return null;
  const graduations = bars.filter((_, i) => lattice.inliers[i]);
  if (graduations.length < FEWEST) return null;
  const pitch = Math.abs(lattice.spacing(graduations[graduations.length >> 1]!.k));
  return lattice.rmsPx > MOST_RMS * pitch + MOST_RMS_PX ? null : { lattice, graduations };
}

/** The bars with those between and beyond them that the search had missed. */
function beyond(
  profile: RowProfile,
  { lattice, graduations }: Fitted,
  half: number,
  polarity: -1 | 1,
): Graduation[] {
  const typical = median(graduations.map((g) => g.contrast));
  const at = (k: number): Graduation | null => {
    const bar = barNear(profile, lattice.at(k), half, polarity);
    const off = bar && Math.abs(bar.s - lattice.at(k)) / Math.abs(lattice.spacing(k));
    return bar && bar.contrast > FAINT * typical && off! < MOST_OFF ? { k, ...bar } : null;
  };
  const known = new Map(graduations.map((g) => [g.k, g]));
  const [first, last] = [graduations[0]!.k, graduations.at(-1)!.k];
  for (let k = first; k <= last; k++) {
    const bar = known.has(k) ? null : at(k);
    if (bar) known.set(k, bar);
  }
  for (const [from, step] of [
    [last, 1],
    [first, -1],
  ] as const) {
    for (let i = 1; i <= BEYOND; i++) {
      const bar = at(from + i * step);
      if (!bar) break;
      known.set(bar.k, bar);
    }
  }
  return [...known.values()].sort((p, q) => p.k - q.k);
}

/** Middle of a bar and how far it stands out; null where it does not. */
function barNear(
  profile: RowProfile,
  s: number,
  half: number,
  polarity: -1 | 1,
): Omit<Graduation, "k"> | null {
  const part = partOf(profile, s - half, s + half).map((v) => polarity * v);
  const top = Math.max(...part);
  const ground = median([...part]);
  if (!(top > ground)) return null;
  let sum = 0;
  let moment = 0;
  const first = Math.max(0, Math.ceil((s - half - profile.start) / profile.stepPx));
  part.forEach((v, i) => {
    const w = v - ground - FLOOR * (top - ground);
    if (w <= 0) return;
    sum += w;
    moment += w * i;
  });
  return { s: profile.start + (first + moment / sum) * profile.stepPx, contrast: top - ground };
}

/** Share of the gaps between bars in which there is nothing. */
function emptyShare(profile: RowProfile, { lattice, graduations }: Fitted): number {
  const contrast = median(graduations.map((g) => g.contrast));
  const gaps = graduations.slice(1).map(({ k }) => {
    const part = [...partOf(profile, ...ordered(lattice.at(k - BETWEEN[1]), lattice.at(k - BETWEEN[0])))];
    const ground = median(part);
    return Math.max(...part.map((v) => Math.abs(v - ground))) < MOST_BETWEEN * contrast;
  });
  return gaps.filter(Boolean).length / gaps.length;
}

const ordered = (a: number, b: number) => [Math.min(a, b), Math.max(a, b)] as const;
