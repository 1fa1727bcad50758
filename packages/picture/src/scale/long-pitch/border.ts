import { median } from "../numbers.ts";
import { partOf, type RowProfile } from "./row-profile.ts";

/** A border between dark and bright along a row. */
export interface Border {
  readonly s: number;
  /** Light beyond it less light before, in the sense that was asked for. */
  readonly contrast: number;
}

/** Where a border is looked for, in blocks. */
const REACH = 0.2;
/** Where the tones of the two blocks are taken at first, in blocks from the border. */
const TONES = [0.15, 0.5] as const;
/** A blurred border has ended where it is flatter than this part of its steepest place. */
const FLAT = 0.1;
/** The tones are taken right behind that, over so much: a scale's body may end there. */
const TONE_PX = 4;
const TONE_SHARE = 0.08;

/**
 * The place near `s` where the light is half-way between that of the two blocks.
 * @param sign 1: brighter beyond it, -1: darker
 */
export function borderNear(profile: RowProfile, s: number, pitch: number, sign: number): Border | null {
  const [near, far] = [TONES[0] * pitch, TONES[1] * pitch];
  const rough = crossing(
    profile,
    s,
    REACH * pitch,
    sign,
    tone(profile, s - far, s - near),
    tone(profile, s + near, s + far),
  );
  if (!rough) return null;
  const before = settledTone(profile, rough.s, pitch, sign, -1);
  const after = settledTone(profile, rough.s, pitch, sign, 1);
  return crossing(profile, rough.s, REACH * pitch, sign, before, after);
}

function crossing(
  { start, stepPx, light }: RowProfile,
  s: number,
  reachPx: number,
  sign: number,
  before: number,
  after: number,
): Border | null {
  const contrast = sign * (after - before);
  if (!(contrast > 0)) return null;
  const half = 0.5 * (before + after);
  const middle = Math.round((s - start) / stepPx);
  for (let i = 0; i <= reachPx / stepPx; i++) {
    for (const j of [middle + i, middle - i - 1]) {
      const a = sign * (light[j]! - half);
      const b = sign * (light[j + 1]! - half);
      if (a <= 0 && b > 0) return { s: start + (j + a / (a - b)) * stepPx, contrast };
    }
  }
  return null;
}

/** Tone right behind the blur of the border at `s`, on one side of it. */
function settledTone(profile: RowProfile, s: number, pitch: number, sign: number, side: 1 | -1): number {
  const { start, stepPx, light } = profile;
  const middle = Math.round((s - start) / stepPx);
  const slope = (i: number) => sign * (light[i + 1]! - light[i - 1]!);
  const steepest = Math.max(slope(middle - 1), slope(middle), slope(middle + 1));
  const most = (TONES[1] * pitch) / stepPx;
  let i = 1;
  while (i < most && slope(middle + side * i) > FLAT * steepest) i++;
  const from = s + side * i * stepPx;
  const to = from + side * Math.max(TONE_PX, TONE_SHARE * pitch);
  return tone(profile, Math.min(from, to), Math.max(from, to));
}

function tone(profile: RowProfile, from: number, to: number): number {
  const part = partOf(profile, from, to);
  return part.length > 0 ? median([...part]) : Number.NaN;
}
