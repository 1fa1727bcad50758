import type { GraduationRow } from "./graduations.ts";
import type { Level } from "./pyramid.ts";
import { levelForPitch } from "./sample.ts";
import { greyAt, median } from "./strip.ts";

/** How far each graduation reaches along its bar, in pitches; both sides of the band's middle. */
export interface BarLengths {
  /** In the order of the row's graduations. */
  readonly bars: readonly BarLength[];
}

export interface BarLength {
  readonly k: number;
  /** Contiguous length to the negative and to the positive side of the band's middle. */
  readonly minus: number;
  readonly plus: number;
  /** Ink of each side out to the reach, whether contiguous or not. */
  readonly minusInk: number;
  readonly plusInk: number;
  /** Contrast in the band against the row's median. */
  readonly strength: number;
}

/** Majors of rulers reach 6 to 10 pitches from the base; their numerals begin there. */
const REACH_PITCHES = 14;
const ROWS_PER_PITCH = 8;
/** Contrast of a bar's row against the band's below which it has ended. */
const ENDED = 0.45;
/** Rows without ink that end a bar (0.75 pitch): scratches do not. */
const END_ROWS = 6;

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
  return {
    bars: graduations.map(({ k }, i) => {
      const values = profiles[i]!;
      const [minus, minusInk] = reach(values, count, -1, typical);
      const [plus, plusInk] = reach(values, count, 1, typical);
      return { k, minus, plus, minusInk, plusInk, strength: inBand[i]! / typical };
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

/** Where the bar ends (between the rows, by the contrast's fall) and all the ink up to the reach. */
function reach(values: Float64Array, middle: number, sense: 1 | -1, typical: number): [number, number] {
  let ink = 0;
  let end = 0;
  let empty = 0;
  let ended = false;
  for (let r = 0; r <= middle; r++) {
    const v = values[middle + sense * r]! / typical;
    ink += Math.max(0, Math.min(1, v));
    if (ended) continue;
    if (v >= ENDED) {
      const next = r < middle ? values[middle + sense * (r + 1)]! / typical : 0;
      end = r + (next < ENDED ? (v - ENDED) / (v - next) : 0.5);
      empty = 0;
    } else if (++empty >= END_ROWS) ended = true;
  }
  return [end / ROWS_PER_PITCH, ink / ROWS_PER_PITCH];
}
