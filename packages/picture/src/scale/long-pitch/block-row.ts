import type { Graduation, GraduationRow } from "../edge/graduations.ts";
import { fitLattice, type Lattice } from "../edge/lattice.ts";
import { greyAt } from "../edge/sample.ts";
import type { Strip } from "../edge/strip.ts";
import { median, medianDeviation } from "../numbers.ts";
import type { Level } from "../search/pyramid.ts";
import { bandOfBlocks } from "./block-band.ts";
import { borderNear } from "./border.ts";
import { partOf, type RowProfile, rowProfile } from "./row-profile.ts";
import { placeOn, stripThrough } from "./run-strip.ts";
import type { Run } from "./runs.ts";

/** Three blocks. */
const FEWEST = 4;
/** Finer blocks are found by their spectrum; bars as broad as the gaps between them imitate them. */
const LEAST_PITCH_PX = 9;
/** Scatter of the borders about their lattice, in blocks and pixels; printed ones reach 0.003 and 0.1. */
const MOST_RMS = 0.01;
const MOST_RMS_PX = 0.2;
/** Four borders fit three numbers nearly as well by chance. */
const FEW_RMS = 0.003;
/** Within a block little varies against the step to the next; a numeral or a scratch may spoil one in four. */
const MOST_UNEVEN = 0.15;
const LEAST_EVEN_SHARE = 0.75;
/** A step against the median step. */
const FAINT = 0.4;
/** A border that belongs to the lattice, in blocks. */
const MOST_OFF = 0.06;
const MOST_BEYOND = 60;
/** How far beside the blocks the body is looked at, in their heights. */
const BESIDE = 0.2;
/** Ink that bleeds, or light that does, moves every second border the other way: seen where there are enough. */
const FEWEST_FOR_BLEED = 8;

/** The borders of a row of alternating blocks to a part of a pixel, on their lattice; null when it is no such row. */
export function blockRow(levels: readonly Level[], level: Level, run: Run): GraduationRow | null {
  const laid = laidOut(level, run);
  if (!laid) return null;
  const { strip } = laid;
  const margin = 2 * strip.pitchPx;
  const profile = rowProfile(levels[0]!, strip, strip.from - margin, strip.to + margin);
  const first = run.marks[0]!;
  const sense = signOf(strip, first.mark) * (first.k % 2 === 0 ? 1 : -1);
  const fitted = fittedBorders(profile, laid.lattice, [first.k, run.marks.at(-1)!.k], sense);
  if (!fitted) return null;
  const { lattice, graduations } = fitted;
  const range = [graduations[0]!.k, graduations.at(-1)!.k] as const;
  const contrast = median(graduations.map((g) => g.contrast));
  if (evenShare(profile, lattice, range, contrast) < LEAST_EVEN_SHARE) return null;
  return {
    strip,
    level: levels[0]!,
    polarity: inkOf(levels[0]!, strip, lattice, graduations),
    graduations,
    lattice,
    contrast: 255 * contrast,
    barWidth: null,
  };
}

/**
 * Whether the dark or the bright blocks are printed: the others are the scale's body, which goes on beside the row, at
 * least on one side of it.
 */
function inkOf(level: Level, strip: Strip, lattice: Lattice, graduations: readonly Graduation[]): -1 | 1 {
  const tones = (o: number) =>
    graduations.slice(1).flatMap(({ k }) => {
      const grey = greyAt(level, strip.at(lattice.at(k - 0.5), o));
      return Number.isNaN(grey) ? [] : [grey];
    });
  const [low, high] = strip.band;
  const sorted = tones(0).sort((a, b) => a - b);
  const dark = median(sorted.slice(0, Math.ceil(sorted.length / 2)));
  const bright = median(sorted.slice(Math.floor(sorted.length / 2)));
  const away = BESIDE * (high - low);
  const beside = [low - away, high + away].map(tones).filter((t) => t.length > 0);
  const nearest = beside
    .map(median)
    .map(
      (tone) =>
        ({
          ink: Math.abs(tone - bright) < Math.abs(tone - dark) ? -1 : 1,
          off: Math.min(Math.abs(tone - bright), Math.abs(tone - dark)),
        }) as const,
    )
    .sort((a, b) => a.off - b.off)[0];
  return nearest?.ink ?? -1;
}

/** The strip through the blocks and the marks' places on it. */
function laidOut(level: Level, { marks }: Run): { strip: Strip; lattice: Lattice } | null {
  const numbers = marks.map(({ k }) => k);
  const seen = marks.map(({ mark }) => mark);
  const [a, b] = [seen[0]!, seen.at(-1)!];
  const range = [numbers[0]!, numbers.at(-1)!] as const;
  const latticeOn = (strip: Strip) => {
    const places = seen.map((m) => placeOn(strip, m.x * level.scale, m.y * level.scale));
    return fitLattice(numbers, places);
  };
  const rough = stripThrough(level, seen, Math.hypot(b.x - a.x, b.y - a.y) / (range[1] - range[0]));
  const roughly = latticeOn(rough);
  const strip = roughly && bandOfBlocks(level, rough, roughly, range);
  const lattice = strip && latticeOn(strip);
  return lattice && { strip, lattice };
}

function fittedBorders(
  profile: RowProfile,
  start: Lattice,
  marked: readonly [number, number],
  sense: number,
): { lattice: Lattice; graduations: Graduation[] } | null {
  let lattice = start;
  let range = marked;
  let graduations: Graduation[] = [];
  for (let round = 0; round < 3; round++) {
    const borders = bordersIn(profile, lattice, range, sense);
    const fit = borders.length < FEWEST ? null : latticeOf(borders, sense);
    if (!fit) return null;
    lattice = fit.lattice;
    range = [borders[0]!.k, borders.at(-1)!.k];
    graduations = borders
      .map((g) => ({ ...g, s: g.s - fit.bleed * (g.k % 2 === 0 ? sense : -sense) }))
      .filter((g) => onLattice(g, fit.lattice));
  }
  if (graduations.length < FEWEST) return null;
  const spacing = Math.abs(lattice.spacing((range[0] + range[1]) / 2));
  const mostRms = (graduations.length > FEWEST ? MOST_RMS : FEW_RMS) * spacing + MOST_RMS_PX;
  return spacing >= LEAST_PITCH_PX && lattice.rmsPx <= mostRms ? { lattice, graduations } : null;
}

/** Borders at the lattice's places, one step beyond each end as long as there is one. */
function bordersIn(
  profile: RowProfile,
  lattice: Lattice,
  [first, last]: readonly [number, number],
  sense: number,
): Graduation[] {
  const at = (k: number): Graduation | null => {
    const border = borderNear(
      profile,
      lattice.at(k),
      Math.abs(lattice.spacing(k)),
      k % 2 === 0 ? sense : -sense,
    );
    return border && { k, ...border };
  };
  const seen: Graduation[] = [];
  for (let k = first; k <= last; k++) {
    const border = at(k);
    if (border) seen.push(border);
  }
  if (seen.length < FEWEST) return seen;
  const typical = median(seen.map((g) => g.contrast));
  const real = (g: Graduation | null): g is Graduation => g !== null && g.contrast > FAINT * typical;
  const kept = seen.filter(real);
  for (const [from, step] of [
    [last, 1],
    [first, -1],
  ] as const) {
    for (let i = 1; i <= MOST_BEYOND; i++) {
      const border = at(from + i * step);
      if (!real(border) || !onLattice(border, lattice)) break;
      kept.push(border);
    }
  }
  return kept.sort((a, b) => a.k - b.k);
}

/** What is not one of the borders may still lie near its place: the end of the body, a numeral. */
function onLattice({ k, s }: Graduation, lattice: Lattice): boolean {
  return Math.abs(s - lattice.at(k)) < MOST_OFF * Math.abs(lattice.spacing(k)) + 0.5;
}

function latticeOf(
  borders: readonly Graduation[],
  sense: number,
): { lattice: Lattice; bleed: number } | null {
  const numbers = borders.map((g) => g.k);
  const fit = (bleed: number) =>
    fitLattice(
      numbers,
      borders.map((g) => g.s - bleed * side(g.k)),
    );
  const side = (k: number) => (k % 2 === 0 ? sense : -sense);
  const plain = fit(0);
  if (!plain || borders.length < FEWEST_FOR_BLEED) return plain && { lattice: plain, bleed: 0 };
  let bleed = 0;
  let lattice: Lattice = plain;
  for (let round = 0; round < 4; round++) {
    bleed = median(borders.map((g) => (g.s - lattice.at(g.k)) * side(g.k)));
    const next = fit(bleed);
    if (!next) break;
    lattice = next;
  }
  return { lattice, bleed };
}

/** Share of the blocks that are of one tone, each against its neighbours'. */
function evenShare(
  profile: RowProfile,
  lattice: Lattice,
  [first, last]: readonly [number, number],
  contrast: number,
): number {
  let even = 0;
  for (let k = first; k < last; k++) {
    const [a, b] = [lattice.at(k + 0.25), lattice.at(k + 0.75)];
    const part = partOf(profile, Math.min(a, b), Math.max(a, b));
    if (part.length > 0 && medianDeviation([...part]) < MOST_UNEVEN * contrast) even++;
  }
  return even / (last - first);
}

function signOf(strip: Strip, { nx, ny }: { readonly nx: number; readonly ny: number }): 1 | -1 {
  const e = strip.edge(0);
  return e.x * nx + e.y * ny > 0 ? 1 : -1;
}
