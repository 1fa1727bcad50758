import type { GreyBytes } from "./scanner.ts";

/** Bars that stand at one spacing for so long are graduations; no symbol repeats itself like that. */
const LEAST_RULED = 12;
/** Fewer are the edge of a sheet, a fold, a hair: the shortest symbols have fourteen, of which blur may join some. */
const LEAST_BARS = 5;
/** Spacing of one pair of neighbours to the next, as a logarithm: 0.03 to 0.1 with graduations, above 0.3 in symbols. */
const REGULAR = 0.15;
/** A bar is darker than what is beside it by this part of the darkest and lightest in its strip. */
const PROMINENT = 0.2;
/** Graduations are short where numerals begin: looked for strip by strip. */
const STRIPS = 8;

/**
 * Whether upright bars in a crop can be those of a symbol: enough of them, and not at one spacing, as the graduations of
 * a scale are.
 */
export function isSymbolLike(crop: GreyBytes): boolean {
  const rows = Math.max(3, Math.floor(crop.heightPx / STRIPS));
  let most = 0;
  for (let y0 = 0; y0 + rows <= crop.heightPx; y0 += rows) {
    const bars = darkBars(columnMeans(crop, y0, y0 + rows));
    most = Math.max(most, bars.length);
    if (bars.length < LEAST_RULED) continue;
    const spacings = bars.slice(1).map((x, i) => x - bars[i]!);
    const changes = spacings.slice(1).map((spacing, i) => Math.abs(Math.log(spacing / spacings[i]!)));
    changes.sort((a, b) => a - b);
    if (changes[Math.floor(changes.length / 2)]! < REGULAR) return false;
  }
  return most >= LEAST_BARS;
}

function columnMeans({ grey, widthPx }: GreyBytes, y0: number, y1: number): Float64Array {
  const means = new Float64Array(widthPx);
  for (let y = y0, i = y0 * widthPx; y < y1; y++)
    for (let x = 0; x < widthPx; x++, i++) means[x]! += grey[i]!;
  return means.map((sum) => sum / (y1 - y0));
}

/** Where the profile is darkest between two rises, to a part of a column. */
function darkBars(means: Float64Array): number[] {
  const step = PROMINENT * (Math.max(...means) - Math.min(...means));
  const bars: number[] = [];
  let [low, lowAt, high] = [means[0]!, 0, means[0]!];
  let isFalling = false;
  for (let x = 1; x < means.length; x++) {
    const value = means[x]!;
    if (isFalling) {
      if (value < low) [low, lowAt] = [value, x];
      if (value > low + step) {
        bars.push(middleOf(means, lowAt, step / 4));
        [isFalling, high] = [false, value];
      }
    } else {
      high = Math.max(high, value);
      if (value < high - step) [isFalling, low, lowAt] = [true, value, x];
    }
  }
  return bars;
}

/** The middle of a dark bar with its darkest at `x`: of its flat bottom, or of the parabola through a narrow one. */
function middleOf(means: Float64Array, x: number, flat: number): number {
  let [from, to] = [x, x];
  while (from > 0 && means[from - 1]! <= means[x]! + flat) from--;
  while (to < means.length - 1 && means[to + 1]! <= means[x]! + flat) to++;
  if (to > from) return (from + to) / 2;
  const [before, after] = [means[x - 1] ?? means[x]!, means[x + 1] ?? means[x]!];
  const bend = before - 2 * means[x]! + after;
  return bend > 0 ? x + (before - after) / (2 * bend) : x;
}
