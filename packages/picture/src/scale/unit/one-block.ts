import type { GraduationRow } from "../edge/graduations.ts";
import { greyAt, levelForPitch } from "../edge/sample.ts";
import type { Level } from "../search/pyramid.ts";
import type { UnitReading } from "./unit.ts";

/**
 * A short scale has one printed block: ten graduations long, from one fifth bar to another. That a dark place beside fives
 * begins and ends just there by chance happens once in some hundred times.
 */
const TEN = 10;
const LEAST_FIVES_SCORE = 18;
const REACH_PITCHES = 12;
const ROW_PITCHES = 0.5;
const PER_PITCH = 4;
const BEYOND_PITCHES = 3;
/** Where a border may lie off its graduation, in pitches. */
const MOST_OFF = 0.35;
/** Contrast of the block against the bars'. */
const LEAST_CONTRAST = 0.5;
/** Tones within the block and beside it, against their difference. */
const MOST_UNEVEN = 0.25;
/** Rows that show it, one beside the other: blocks are higher than one graduation. */
const FEWEST_ROWS = 3;

export function blockOfTen(
  levels: readonly Level[],
  row: GraduationRow,
  best: UnitReading | undefined,
): boolean {
  if (best?.division.name !== "mm, fives only" || best.score < LEAST_FIVES_SCORE) return false;
  const { lattice, strip, graduations, contrast } = row;
  const pitch = Math.abs(lattice.spacing(graduations[graduations.length >> 1]!.k));
  const level = levelForPitch(levels, pitch, PER_PITCH);
  const first = graduations[0]!.k - BEYOND_PITCHES;
  const count = (graduations.at(-1)!.k + BEYOND_PITCHES - first) * PER_PITCH;
  let rows = 0;
  for (let r = -REACH_PITCHES / ROW_PITCHES; r <= REACH_PITCHES / ROW_PITCHES; r++) {
    const tones = Array.from({ length: count }, (_, i) => {
      return greyAt(level, strip.at(lattice.at(first + (i + 0.5) / PER_PITCH), r * ROW_PITCHES * pitch));
    });
    const from = blockIn(tones, LEAST_CONTRAST * contrast);
    const border = from === null ? 0 : first + from;
    const off = border - Math.round(border);
    const onFive = (((Math.round(border) - best.phase) % 5) + 5) % 5 === 0;
    rows = from !== null && Math.abs(off) < MOST_OFF && onFive ? rows + 1 : 0;
    if (rows >= FEWEST_ROWS) return true;
  }
  return false;
}

/** Where the only run of one tone begins that is ten graduations long and has another tone on both sides; else null. */
function blockIn(tones: readonly number[], leastContrast: number): number | null {
  const known = tones.filter((v) => !Number.isNaN(v)).sort((a, b) => a - b);
  if (known.length < tones.length) return null;
  const [low, high] = [known[Math.floor(0.15 * known.length)]!, known[Math.floor(0.85 * known.length)]!];
  if (high - low < leastContrast) return null;
  const half = 0.5 * (low + high);
  const borders: number[] = [];
  for (let i = 0; i + 1 < tones.length; i++) {
    const [a, b] = [tones[i]! - half, tones[i + 1]! - half];
    if (a * b < 0) borders.push((i + 0.5 + a / (a - b)) / PER_PITCH);
  }
  const uneven = tones.filter(
    (v) => Math.min(Math.abs(v - low), Math.abs(v - high)) > MOST_UNEVEN * (high - low),
  );
  if (borders.length !== 2 || uneven.length > 4 + 0.1 * tones.length) return null;
  return Math.abs(borders[1]! - borders[0]! - TEN) < MOST_OFF ? borders[0]! : null;
}
