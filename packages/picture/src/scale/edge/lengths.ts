import { median } from "../numbers.ts";
import type { Level } from "../search/pyramid.ts";
import type { GraduationRow } from "./graduations.ts";
import { greyAt, levelForPitch } from "./sample.ts";

/** How far each graduation reaches along its bar, in pitches; both sides of the band's middle. */
export interface BarLengths {
  /** In the order of the row's graduations. */
  readonly bars: readonly BarLength[];
}

export interface BarLength {
  readonly k: number;
  /** Length to the negative and to the positive side of the band's middle, up to the first gap. */
  readonly minus: number;
  readonly plus: number;
  /** The same across small gaps: rubbed bars have them, but so has the room before a numeral. */
  readonly minusWorn: number;
  readonly plusWorn: number;
  /** Contrast in the band against the row's median. */
  readonly strength: number;
}

/** Majors of rulers reach 6 to 10 pitches from the base; their numerals begin there. */
const REACH_PITCHES = 14;
const ROWS_PER_PITCH = 8;
/** Contrast of a bar's row against the band's below which it has ended. */
const ENDED = 0.45;
/** A gap that ends a bar, in pitches, and in pixels at least: finer than the room before a numeral. */
const GAP_PITCHES = 0.25;
const GAP_PX = 1.5;
/** A gap that ends a rubbed bar. */
const WORN_GAP_PITCHES = 0.75;

export function barLengths(levels: readonly Level[], row: GraduationRow): BarLengths {
  const { strip, lattice, polarity, graduations } = row;
  const pitch = Math.abs(lattice.spacing(graduations[graduations.length >> 1]!.k));
  const level = levelForPitch(levels, pitch, 8);
  const count = REACH_PITCHES * ROWS_PER_PITCH;
  const profiles = graduations.map(({ k }) => {
    const values = new Float64Array(2 * count + 1);
    for (let r = -count; r <= count; r++) {
      values[r + count] = polarity * barContrast(level, row, k, (r / ROWS_PER_PITCH) * pitch);
    }
    return values;
  });
  const bandRows = Math.max(
    1,
    Math.round(((0.4 * (strip.band[1] - strip.band[0])) / pitch) * ROWS_PER_PITCH),
  );
  const inBand = profiles.map((p) => median([...p.subarray(count - bandRows, count + bandRows + 1)]));
  const typical = Math.max(1e-6, median(inBand));
  const rowPx = pitch / level.scale / ROWS_PER_PITCH;
  const gap = Math.ceil(Math.max(GAP_PITCHES * ROWS_PER_PITCH, GAP_PX / rowPx));
  const wornGap = Math.max(gap, WORN_GAP_PITCHES * ROWS_PER_PITCH);
  return {
    bars: graduations.map(({ k }, i) => {
      const end = (sense: 1 | -1, gapRows: number) => reach(profiles[i]!, count, sense, typical, gapRows);
      return {
        k,
        minus: end(-1, gap),
        plus: end(1, gap),
        minusWorn: end(-1, wornGap),
        plusWorn: end(1, wornGap),
        strength: inBand[i]! / typical,
      };
    }),
  };
}

/** Bar against half a pitch to both sides, at offset `o`. What lies outside the picture has no contrast. */
function barContrast(level: Level, { strip, lattice }: GraduationRow, k: number, o: number): number {
  const here = three(level, strip, lattice.at(k), lattice.spacing(k), o);
  const left = three(level, strip, lattice.at(k - 0.5), lattice.spacing(k), o);
  const right = three(level, strip, lattice.at(k + 0.5), lattice.spacing(k), o);
  const contrast = here - 0.5 * (left + right);
  return Number.isNaN(contrast) ? 0 : contrast;
}

function three(level: Level, strip: GraduationRow["strip"], s: number, spacing: number, o: number): number {
  const d = 0.08 * spacing;
  return (
    (greyAt(level, strip.at(s - d, o)) + greyAt(level, strip.at(s, o)) + greyAt(level, strip.at(s + d, o))) /
    3
  );
}

/** Where the bar ends, between the rows by the contrast's fall. */
function reach(
  values: Float64Array,
  middle: number,
  sense: 1 | -1,
  typical: number,
  gapRows: number,
): number {
  let end = 0;
  let empty = 0;
  for (let r = 0; r <= middle; r++) {
    const v = values[middle + sense * r]! / typical;
    if (v >= ENDED) {
      const next = r < middle ? values[middle + sense * (r + 1)]! / typical : 0;
      end = r + (next < ENDED ? (v - ENDED) / (v - next) : 0.5);
      empty = 0;
    } else if (++empty >= gapRows) break;
  }
  return end / ROWS_PER_PITCH;
}
